"""What `verify` finds wrong."""

import msgspec


class Fault(msgspec.Struct, frozen=True):
    """One thing that is wrong in a data folder.

    `seq` is the number of the event that it concerns, None where it concerns none; `place`
    names the event, lot, recipe, alarm or file for a person.
    """

    place: str
    sentence: str
    seq: int | None = None


def at_event(seq: int, sentence: str) -> Fault:
    """Return a fault of one event."""
    return Fault(f"event {seq}", sentence, seq)
