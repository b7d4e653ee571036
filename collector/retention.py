"""How long readings are kept: what a person decides, apart from how the store does it."""

import msgspec


class Retention(msgspec.Struct, frozen=True):
    """What becomes of old readings; as it stands here, none is ever removed.

    Readings older than `keep_us` (microseconds) are removed, and the oldest ones while the store
    uses more than `most_bytes`, not counting photographs and what waits to be sent elsewhere; None
    is no limit.
    Readings from the time of a lot that is open or kept stay in any case, and so does the
    journal.
    """

    keep_us: int | None = None
    most_bytes: int | None = None


ALL_KEPT = Retention()
"""What holds unless somebody says otherwise."""
