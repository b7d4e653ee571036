"""What the journal amounts to, as tables: lots and which are kept, recipes, each alarm's events.

Pure: an event comes in, the change of a table comes out. The store makes these changes in the
event's own transaction; `verify` makes them again from the first event on and compares.
"""

from collections.abc import Mapping

import msgspec

from collector.alarm_events import (
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmReleased,
    AlarmRestored,
    AlarmSuppressed,
)
from collector.answer_events import AlarmAcknowledged, AlarmReset, AlarmShelved, AlarmUnshelved
from collector.events import AnyEvent
from collector.lot_events import LotClosed, LotKept, LotOpened, LotReleased, RecipeKept


class Change(msgspec.Struct, frozen=True):
    """One row of a projection to write: a query of `writing.sql` and its parameters."""

    query: str
    values: Mapping[str, str | int | None]


def change_by(seq: int, event: AnyEvent) -> Change | None:
    """Return what an event changes in the projections, or None where it changes nothing."""
    match event:
        case RecipeKept():
            return _recipe_kept(seq, event)
        case LotOpened() | LotClosed() | LotKept() | LotReleased():
            return _lot_changed(seq, event)
        case (
            AlarmRaised()
            | AlarmCleared()
            | AlarmFolded()
            | AlarmAcknowledged()
            | AlarmReset()
            | AlarmSuppressed()
            | AlarmReleased()
            | AlarmRestored()
            | AlarmShelved()
            | AlarmUnshelved()
        ):
            return Change("add_alarm_event", {"alarm": event.alarm, "seq": seq})
    return None


def _recipe_kept(seq: int, event: RecipeKept) -> Change:
    return Change(
        "keep_recipe",
        {
            "name": event.recipe.name,
            "document": bytes(event.document).decode(),
            "updated_us": event.at_us,
            "seq": seq,
        },
    )


def _lot_changed(seq: int, event: LotOpened | LotClosed | LotKept | LotReleased) -> Change:
    match event:
        case LotOpened():
            return _lot_opened(event)
        case LotClosed():
            return Change("close_lot", {"id": event.lot, "closed_us": event.at_us})
        case LotKept():
            return Change("keep_lot", {"lot": event.lot, "seq": seq})
    return Change("release_lot", {"lot": event.lot})


def _lot_opened(event: LotOpened) -> Change:
    return Change(
        "open_lot",
        {
            "id": event.lot,
            "bench": event.bench,
            "recipe": event.recipe.name,
            "vessels": event.vessels,
            "opened_us": event.at_us,
        },
    )
