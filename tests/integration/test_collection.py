"""A bench without a screen: what its readers say is on disk, each reading at a time of its own."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from functools import partial
from pathlib import Path

import pytest
from workshop_at_hand import BENCH, MORNING_US, SCALE, HandClock, config, until

from collector.collection import Collection
from collector.events import InstrumentFound, InstrumentLost
from collector.readers.link import LinkFailed, LinkOpened, Sampled
from collector.readings import Quantity, Sample
from collector.store.history import History
from collector.store.store import Store
from collector.store.verify import verify

EVER = 2**62


@asynccontextmanager
async def collection(folder: Path) -> AsyncIterator[Collection]:
    store = Store.open(folder)
    made = Collection(config(folder), store, HandClock())
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
