"""Whether readings of a lot were removed, by what the journal tells."""

from operator import attrgetter

from collector.service_events import ReadingsExpired
from collector.store.event_audit import EXPIRY_EVENTS, Expiries
from collector.store.history import History


def were_removed(history: History, lot: str, opened_us: int) -> bool:
    """Tell whether some of the readings of a lot may have been removed since it was closed.

    Old readings go by whole blocks, and not those of a lot that is open or kept at that time.
    """
    removals = history.events_of([ReadingsExpired])
    if not removals:
        return False
    own = (stored for stored in history.events(lot) if isinstance(stored.event, EXPIRY_EVENTS))
    told = sorted([*own, *removals], key=attrgetter("seq"))
    return Expiries(stored.event for stored in told).reach(lot, opened_us)
