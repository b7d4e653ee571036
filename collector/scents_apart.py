"""Which pitchers' fragrance was weighed apart, and when it went into the wax."""

from collections.abc import Iterable

from collector.conclusions import FragranceApart, PhaseWithdrawn, WeighingKind, WeighingWithdrawn
from collector.event_base import Event
from collector.phases import Phase


def scents_apart(events: Iterable[Event]) -> dict[int, FragranceApart]:
    """Return the last word on each pitcher of a lot, given all that was told of it, in order."""
    found: dict[int, FragranceApart] = {}
    for event in events:
        match event:
            case FragranceApart():
                found[event.pitcher] = event
            case PhaseWithdrawn(phase=Phase.ADD_FRAGRANCE):
                found.pop(event.pitcher, None)
            case WeighingWithdrawn(kind=WeighingKind.FRAGRANCE):
                found.pop(event.pitcher, None)
    return found
