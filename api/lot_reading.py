"""Lots read from the store, for HTTP and the command line."""

from collections import Counter

from api import lot_shapes, presenting
from api.instants import instant, instant_or_none
from collector.alarm_events import AlarmFolded, AlarmRaised, AlarmRestored
from collector.conclusions import WeighingAccepted, WeighingKind, WeighingWithdrawn
from collector.errors import NotFoundError
from collector.lot_record import LotRecord, record_of
from collector.recipes import Recipe
from collector.service_events import ReadingsLost
from collector.store.history import History


def entries(history: History) -> list[lot_shapes.LotEntry]:
    """Return all lots in a line each, the newest first."""
    deviations = _deviations(history)
    fills = _fills(history)
    return [
        lot_shapes.LotEntry(
            id=lot.id,
            bench=lot.bench,
            recipe=lot.recipe,
            vessels=lot.vessels,
            state="open" if lot.is_open else "closed",
            opened_at=instant(lot.opened_us),
            closed_at=instant_or_none(lot.closed_us),
            deviations=deviations[lot.id],
            fills=fills[lot.id],
            kept=lot.kept,
        )
        for lot in history.lots()
    ]


def _deviations(history: History) -> Counter[str | None]:
    """Count the alarms of each lot that stand for themselves."""
    alone: set[tuple[str | None, str]] = set()
    for stored in history.events_of([AlarmRaised, AlarmFolded, AlarmRestored]):
        event = stored.event
        if isinstance(event, AlarmFolded):
            alone.discard((event.lot, event.alarm))
        elif isinstance(event, AlarmRaised | AlarmRestored):
            alone.add((event.lot, event.alarm))
    return Counter(lot for lot, _alarm in alone)


def _fills(history: History) -> Counter[str | None]:
    """Count the vessels filled in each lot: one topped up counts once, one withdrawn not at all."""
    filled: set[tuple[str | None, int, int | None]] = set()
    for stored in history.events_of([WeighingAccepted, WeighingWithdrawn]):
        event = stored.event
        if not isinstance(event, WeighingAccepted | WeighingWithdrawn):
            continue
        if event.kind is not WeighingKind.FILL:
            continue
        vessel = (event.lot, event.pitcher, event.vessel)
        if isinstance(event, WeighingAccepted):
            filled.add(vessel)
        else:
            filled.discard(vessel)
    return Counter(lot for lot, _pitcher, _vessel in filled)


def read_record(history: History, lot: str) -> LotRecord:
    """Return a lot's record. Raises NotFoundError."""
    events = history.events(lot)
    if not events:
        raise NotFoundError(f"There is no lot {lot!r}. GET /api/lots or pourkeep lots lists them.")
    losses = (stored.event for stored in history.events_of([ReadingsLost]))
    return record_of(stored.event for stored in events).with_losses(
        loss for loss in losses if isinstance(loss, ReadingsLost)
    )


def read_document(history: History, recipe: Recipe) -> dict[str, object]:
    """Return the document that a lot's recipe came in, {} where it has changed since."""
    stored = history.recipe(recipe.name)
    return presenting.document_of(stored.document) if stored.recipe == recipe else {}
