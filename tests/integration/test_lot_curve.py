"""When a lot's readings are to be looked for elsewhere."""

from pathlib import Path

import pytest
from store_samples import BENCH, LOT, SCALE, START_US, lot_closed, lot_opened, scale_readings

from api.lot_curve import may_be_elsewhere
from collector.events import AnyEvent
from collector.lot_events import LotKept, LotReleased
from collector.lot_record import record_of
from collector.service_events import ReadingsExpired
from collector.store import History, Store

LATER_US = START_US + 86_400_000_000


def removed(before_us: int) -> ReadingsExpired:
    return ReadingsExpired(at_us=LATER_US, bench=None, lot=None, before_us=before_us, readings=9)


def kept() -> LotKept:
    return LotKept(at_us=LATER_US, bench=BENCH, lot=LOT)


def released() -> LotReleased:
    return LotReleased(at_us=LATER_US, bench=BENCH, lot=LOT)


async def asked(folder: Path, readings: int, *events: AnyEvent) -> bool:
    """Keep a lot with so many readings and these events, and tell where it is looked for."""
    store = Store.open(folder)
    await store.commit(scale_readings(count=readings), [lot_opened(), *events])
    store.close()
    history = History(folder)
    here = history.readings(SCALE, START_US, LATER_US)
    record = record_of(stored.event for stored in history.events(LOT))
    return may_be_elsewhere(record, here, history)


@pytest.mark.asyncio
async def test_what_is_here_is_not_looked_for_elsewhere(tmp_path: Path) -> None:
    assert not await asked(tmp_path, 5, lot_closed())


@pytest.mark.asyncio
async def test_a_closed_lot_without_readings_is_looked_for(tmp_path: Path) -> None:
    assert await asked(tmp_path, 0, lot_closed())


@pytest.mark.asyncio
async def test_an_open_lot_is_here(tmp_path: Path) -> None:
    assert not await asked(tmp_path, 0, removed(START_US + 1))


@pytest.mark.asyncio
@pytest.mark.parametrize(("before_us", "elsewhere"), [(START_US, False), (START_US + 1, True)])
async def test_a_lot_of_a_time_from_which_readings_were_removed_may_be_here_in_part(
    tmp_path: Path, before_us: int, elsewhere: bool
) -> None:
    assert await asked(tmp_path, 5, lot_closed(), removed(before_us)) is elsewhere


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("events", "elsewhere"),
    [
        ([kept(), removed(START_US + 1)], False),
        ([removed(START_US + 1), kept()], True),  # kept when a part of it was gone
        ([kept(), removed(START_US + 1), released()], False),  # released, and nothing gone since
        ([kept(), released(), removed(START_US + 1), kept()], True),
    ],
)
async def test_a_lot_is_here_whatever_was_removed_while_it_was_kept_for_good(
    tmp_path: Path, events: list[AnyEvent], elsewhere: bool
) -> None:
    assert await asked(tmp_path, 5, lot_closed(), *events) is elsewhere


@pytest.mark.asyncio
async def test_a_lot_that_was_open_when_readings_were_removed_is_here(tmp_path: Path) -> None:
    assert not await asked(tmp_path, 5, removed(START_US + 1), lot_closed())
