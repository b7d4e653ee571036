"""The good lots of a recipe out of the store, and the band that they make.

Calls block: an event loop makes them in a thread.
"""

from collections.abc import Iterator

from collector.band import Band
from collector.bands import MOST_LOTS, GoodLot, band_of
from collector.lot_events import LotJudged
from collector.lot_record import LotRecord, record_of
from collector.readings import Quality, Role
from collector.store.history import History


def band_for(history: History, recipe: str, but: str | None = None) -> Band | None:
    """Return the band of the latest good lots of a recipe (by its name), `but` one of them.

    None where there are too few of them. Raises StoreError.
    """
    found = [_good_lot(history, lot) for lot in _good_ids(history, recipe, but)]
    return band_of([lot for lot in found if lot is not None])


def band_of_lot(history: History, record: LotRecord) -> Band | None:
    """Return the band that a lot is held against; None where there is none. Raises StoreError.

    It is the one that the lot was opened with. A closed lot that had none is held against the
    good lots of today, itself left out.
    """
    opened = record.opened
    if opened.band is not None or record.closed_us is None:
        return opened.band
    return band_for(history, opened.recipe.name, but=opened.lot)


def _good_ids(history: History, recipe: str, but: str | None) -> list[str]:
    judged = (stored.event for stored in history.events_of([LotJudged]))
    good = {event.lot: event.good for event in judged if isinstance(event, LotJudged)}
    lots = (lot for lot in history.lots() if lot.recipe == recipe and not lot.is_open)
    return [lot.id for lot in lots if good.get(lot.id) and lot.id != but][:MOST_LOTS]


def _good_lot(history: History, lot: str) -> GoodLot | None:
    record = record_of(stored.event for stored in history.events(lot))
    probe = next(_pitcher_probes(record), None)
    if probe is None or record.closed_us is None:
        return None
    span = history.readings(probe, record.opened.at_us, record.closed_us).judged
    good = span.qualities == Quality.GOOD
    return GoodLot(record, span.times[good], span.values[good])


def _pitcher_probes(record: LotRecord) -> Iterator[str]:
    return (channel.name for channel in record.opened.channels if channel.role is Role.PITCHER)
