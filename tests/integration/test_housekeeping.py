import asyncio
import logging
from pathlib import Path

import pytest
from store_samples import SCALE, START_US, scale_readings
from workshop_at_hand import HandClock, until

from collector import housekeeping as housekeeping_module
from collector.housekeeping import Housekeeping
from collector.store import History, Store
from collector.store.database import reading_from
from collector.store.sealing import Sealing
from collector.store.verify import verify

COUNT = 900
SMALL = Sealing(block_readings=100, settled_us=1_000_000)


def blocks(folder: Path) -> int:
    with reading_from(folder) as connection:
        return int(connection.execute("SELECT count(*) FROM block").fetchone()[0])


@pytest.fixture(autouse=True)
def short_waits(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(housekeeping_module, "BREATH_S", 0.001)
    monkeypatch.setattr(housekeeping_module, "PAUSE_S", 0.01)


@pytest.mark.asyncio
async def test_what_has_settled_is_sealed_block_by_block_while_the_service_runs(
    tmp_path: Path,
) -> None:
    store = Store.open(tmp_path, sealing=SMALL)
    clock = HandClock(START_US + 10_000_000)
    await store.commit(scale_readings(count=COUNT), [])
    running = asyncio.create_task(Housekeeping(store, clock).run())
    await until(lambda: blocks(tmp_path) == COUNT // 100)
    assert History(tmp_path).readings(SCALE, 0, 2**62).values.size == COUNT
    running.cancel()
    await asyncio.gather(running, return_exceptions=True)
    store.close()
    assert verify(tmp_path) == []


@pytest.mark.asyncio
async def test_a_store_that_refuses_is_tried_again(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    store = Store.open(tmp_path)
    store.close()
    running = asyncio.create_task(Housekeeping(store, HandClock()).run())
    await until(lambda: len([r for r in caplog.records if r.levelno >= logging.WARNING]) >= 2)
    assert not running.done()
    running.cancel()
    await asyncio.gather(running, return_exceptions=True)
