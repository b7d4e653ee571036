"""What a workshop calls unattended heat."""

import msgspec


class Unattended(msgspec.Struct, frozen=True):
    """A pot at `above_mdegc` (0.001 °C) or hotter wants a sign of a person every `after_us`.

    40 minutes and 60 °C: common practice, no source. A pitcher may cool for half an hour with
    nobody touching anything; a shorter time would cry wolf.
    """

    after_us: int = 2_400_000_000
    above_mdegc: int = 60_000
