"""The list of lots, as it is read from a real store."""

from pathlib import Path

import msgspec
import pytest
from store_samples import (
    BENCH,
    LOT,
    START_US,
    lot_closed,
    lot_opened,
    scale_readings,
    weighing,
)

from api.lot_reading import entries, read_record
from collector.conclusions import WeighingKind, WeighingWithdrawn
from collector.service_events import ReadingsLost
from collector.store import History, Store


@pytest.mark.asyncio
async def test_a_vessel_that_was_withdrawn_is_not_counted(tmp_path: Path) -> None:
    readings = scale_readings()
    fills = [
        msgspec.structs.replace(
            weighing(readings), kind=WeighingKind.FILL, pitcher=1, vessel=vessel
        )
        for vessel in (1, 2)
    ]
    at_us = readings[-1].taken_us
    withdrawn = WeighingWithdrawn(
        at_us=at_us, bench=BENCH, lot=LOT, kind=WeighingKind.FILL, pitcher=1, vessel=2
    )
    store = Store.open(tmp_path)
    try:
        await store.commit(readings, [lot_opened(), *fills])
        assert [lot.fills for lot in entries(History(tmp_path))] == [2]
        await store.commit([], [withdrawn])
        assert [lot.fills for lot in entries(History(tmp_path))] == [1]
    finally:
        store.close()


@pytest.mark.asyncio
async def test_a_lot_tells_what_memory_could_not_hold_in_its_time(tmp_path: Path) -> None:
    closing = lot_closed()
    before, at_first, at_last, after = (
        ReadingsLost(at_us=to_us, bench=None, lot=None, from_us=from_us, to_us=to_us, count=9)
        for from_us, to_us in [
            (START_US - 20, START_US - 10),
            (START_US - 5, START_US + 5),
            (closing.at_us - 7, closing.at_us + 3),
            (closing.at_us + 10, closing.at_us + 20),
        ]
    )
    store = Store.open(tmp_path)
    try:
        await store.commit([], [before, lot_opened(), at_first])
        assert read_record(History(tmp_path), LOT).gaps_us == [(START_US, START_US + 5)]
        await store.commit([], [at_last, closing, after])
    finally:
        store.close()
    record = read_record(History(tmp_path), LOT)
    assert record.lost == (at_first, at_last)
    assert record.gaps_us == [(START_US, START_US + 5), (closing.at_us - 7, closing.at_us)]
