"""What every event says, and the two kinds of them.

Given events come from outside (a person, a port, the service itself). Derived events are what
the bench concludes from them and from the readings.
"""

import msgspec


class Event(msgspec.Struct, frozen=True, kw_only=True):
    """Anything that the journal keeps."""

    at_us: int
    bench: str | None
    lot: str | None


class Given(Event, frozen=True, kw_only=True):
    """Came from outside: the input of a replay."""


class Derived(Event, frozen=True, kw_only=True):
    """Concluded by the bench: the output of a replay."""
