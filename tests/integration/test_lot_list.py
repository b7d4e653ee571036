"""The list of lots, as it is read from a real store."""

from pathlib import Path

import msgspec
import pytest
from store_samples import BENCH, LOT, lot_opened, scale_readings, weighing

from api.lot_reading import entries
from collector.events import WeighingKind, WeighingWithdrawn
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
