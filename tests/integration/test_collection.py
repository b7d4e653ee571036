"""A bench without a screen: what its readers say is on disk, each reading at a time of its own."""

import asyncio
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from functools import partial
from pathlib import Path

import pytest
from workshop_at_hand import BENCH, MORNING_US, SCALE, HandClock, config, until

from api import progress_watch
from api.progress_watch import stuck
from collector.clock import Clock, SystemClock
from collector.collection import Collection, collecting
from collector.readers.link import LinkFailed, LinkOpened, Sampled
from collector.readings import Quantity, Sample
from collector.service_events import ClockStepped, InstrumentFound, InstrumentLost
from collector.store.history import History
from collector.store.store import Store
from collector.store.verify import verify

EVER = 2**62


@asynccontextmanager
async def collection(folder: Path, clock: Clock | None = None) -> AsyncIterator[Collection]:
    store = Store.open(folder)
    made = Collection(config(folder), store, clock or HandClock())
    running = asyncio.create_task(made.run())
    try:
        yield made
    finally:
        running.cancel()
        with suppress(asyncio.CancelledError):
            await running
        store.close()
    assert verify(folder) == []


def has_stored(made: Collection, count: int) -> bool:
    return made.batch.tally.stored == count


def said(value: int, at_us: int) -> Sampled:
    return Sampled(SCALE, at_us, Sample(Quantity.MASS, value))


def stored(folder: Path) -> list[tuple[int, int]]:
    span = History(folder).readings(SCALE, 0, EVER)
    return list(zip(span.times.tolist(), span.values.tolist(), strict=True))


@pytest.mark.asyncio
async def test_readings_are_timed_in_whole_milliseconds_and_no_two_share_one(
    tmp_path: Path,
) -> None:
    async with collection(tmp_path) as made:
        for value, at_us in [(1, 1_234), (2, 1_999), (3, 2_000)]:
            made.inbox.put(said(value, MORNING_US + at_us))
        await until(partial(has_stored, made, 3))
    assert stored(tmp_path) == [
        (MORNING_US + 1_000, 1),
        (MORNING_US + 1_001, 2),
        (MORNING_US + 2_000, 3),
    ]


@pytest.mark.asyncio
async def test_a_clock_that_went_back_over_a_restart_takes_no_reading_along(tmp_path: Path) -> None:
    for value, at_us in [(1, 5_000), (2, 1_000)]:
        async with collection(tmp_path) as made:
            made.inbox.put(said(value, MORNING_US + at_us))
            await until(partial(has_stored, made, 1))
    assert stored(tmp_path) == [(MORNING_US + 5_000, 1), (MORNING_US + 5_001, 2)]


@pytest.mark.asyncio
async def test_a_port_that_fails_and_works_again_is_in_the_journal(tmp_path: Path) -> None:
    async with collection(tmp_path) as made:
        made.inbox.put(LinkFailed(SCALE, MORNING_US, "it was unplugged", "Plug it in"))
        await until(lambda: made.instruments[SCALE].reason == "it was unplugged")
        made.inbox.put(LinkOpened(SCALE, MORNING_US + 1))
        await until(lambda: made.instruments[SCALE].reason is None)
    events = [entry.event for entry in History(tmp_path).events_after(0, 10)]
    assert events == [
        InstrumentLost(
            at_us=MORNING_US,
            bench=BENCH,
            lot=None,
            instrument=SCALE,
            reason="it was unplugged",
            remedy="Plug it in",
        ),
        InstrumentFound(at_us=MORNING_US + 1, bench=BENCH, lot=None, instrument=SCALE),
    ]


@pytest.mark.asyncio
@pytest.mark.parametrize("by_us", [86_400_000_000, -3_600_000_000])
async def test_a_clock_that_met_the_network_leaves_true_times(tmp_path: Path, by_us: int) -> None:
    true_us = MORNING_US
    wrong = [-by_us]  # by so much is the wall clock away until then
    clock = SystemClock(lambda: true_us + wrong[0], lambda: true_us)
    async with collection(tmp_path, clock) as made:
        for value in (1, 2, 3):
            true_us += 1_000_000
            made.inbox.put(said(value, clock.now_us()))
        await until(partial(has_stored, made, 3))
        wrong[0] = 0
        await until(lambda: clock.now_us() == true_us)
        true_us += 1_000_000
        made.inbox.put(said(4, clock.now_us()))
        await until(partial(has_stored, made, 4))
    assert stored(tmp_path) == [(MORNING_US + n * 1_000_000, n) for n in (1, 2, 3, 4)]
    (stepped,) = [entry.event for entry in History(tmp_path).events_after(0, 10)]
    assert isinstance(stepped, ClockStepped)
    assert stepped.by_us == by_us


@pytest.mark.asyncio
async def test_a_write_that_hangs_starves_the_watchdog(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(progress_watch, "COMMIT_S", 0.05)
    async with collection(tmp_path) as made:
        gate = threading.Event()
        made.batch._store._thread.submit(gate.wait)  # the one thread that writes
        assert stuck(made) == []
        made.inbox.put(said(1, MORNING_US))
        await until(lambda: len(stuck(made)) == 1)
        gate.set()
        await until(lambda: stuck(made) == [])


@pytest.mark.asyncio
async def test_one_who_is_cancelled_while_stopping_has_all_on_disk_and_learns_of_it(
    tmp_path: Path,
) -> None:
    leaving = asyncio.Event()

    async def collect() -> None:
        async with collecting(config(tmp_path), HandClock()) as made:
            made.inbox.put(said(4_200, MORNING_US))
            leaving.set()

    task = asyncio.create_task(collect())
    await leaving.wait()
    task.cancel()
    with pytest.raises(asyncio.CancelledError):
        await task
    assert stored(tmp_path) == [(MORNING_US, 4_200)]
    Store.open(tmp_path).close()  # the folder is free again
