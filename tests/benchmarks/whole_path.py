"""How many readings a second pass from the inbox to disk and screen, on one core.

    python tests/benchmarks/whole_path.py

The readings of a simulated lot, with its marks, go through the running pipeline: inbox, bench
with the lot open, one transaction, live with one screen. The yardstick is the same readings
inserted as raw rows into SQLite in the same run, in batches as large as the pipeline's were on
average. Both are counted in seconds of processor time, all threads together: what one core can
do, whoever else uses the machine; the wait for the disk, the same for both, is left out.
"""

import asyncio
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from figures import Figure, judge
from made_lots import CHANNELS, MORNING_US, Item, judged, made_day
from store_commit import seconds_raw

from collector.alarm_ledger import AlarmLedger
from collector.bench import Bench
from collector.config import Config
from collector.events import AnyEvent, AnyGiven
from collector.instrument_config import InstrumentConfig, Manual
from collector.live import Live
from collector.pipeline import Pipeline
from collector.readers.link import Sampled
from collector.readings import ROLE_QUANTITY, Reading, Sample
from collector.store import History, Store
from simulators.layout import BENCH

SCENARIO = "lantern_yard"
ROUNDS = 5
BURST = 500
"""Readings handed over before the pipeline may work: some seconds of a busy workshop."""

RAW_TIMES = 5
"""A raw insert takes some 20 ms: one alone is at the mercy of whoever else uses the machine."""

LOOK_S = 0.001  # looking without a pause would be counted as work of the pipeline

BUSY = 80
"""Readings in a commit of a busy workshop, half a second of 16 instruments at 10 Hz: a second
yardstick, only told. Fed as fast as it goes, the pipeline commits more at once."""

FLOOR = 0.10
"""The design's budget: a tenth of raw inserts."""

ROLES = {channel.name: channel.role for channel in CHANNELS}


class FedClock:
    """A clock that stands where the readings handed over have put it.

    It calls itself fast, so that a tick waits for a whole burst of readings.
    """

    speed = 400.0

    def __init__(self) -> None:
        self.us = MORNING_US

    def now_us(self) -> int:
        """UTC, microseconds since 1970."""
        return self.us


class CountingStore(Store):
    """Counts its transactions, so that the yardstick can be given as many."""

    commits = 0

    async def commit(self, readings: Sequence[Reading], events: Sequence[AnyEvent]) -> list[int]:
        """Store the batch."""
        self.commits += bool(readings or events)
        return await super().commit(readings, events)


def workshop(data: Path) -> Config:
    """Return a workshop with the one bench of the simulated day."""
    instruments = tuple(
        InstrumentConfig(c.name, c.bench, c.role, Manual(), c.silent_after_us) for c in CHANNELS
    )
    return Config(
        name="Trial", timezone="UTC", data=data, benches=(BENCH,), instruments=instruments
    )


async def watch(live: Live) -> None:
    """Be a screen that keeps up."""
    with live.screen() as screen:
        async for _ in screen.notices(1.0):
            pass


async def feed(pipeline: Pipeline, clock: FedClock, items: Sequence[Item]) -> None:
    """Hand over the readings as readers' threads do, and the marks as a person does."""
    last_us = MORNING_US
    for number, item in enumerate(items):
        if isinstance(item, Reading):
            sample = Sample(ROLE_QUANTITY[ROLES[item.channel]], item.value, item.quality)
            pipeline.inbox.put(Sampled(item.channel, item.taken_us, sample))
            last_us = clock.us = item.taken_us
            if number % BURST == 0:
                await taken_in(pipeline, last_us)
        else:
            await taken_in(pipeline, last_us)  # a mark overtakes what waits in the inbox
            await pipeline.give(BENCH, partial(as_made, item))
    await taken_in(pipeline, last_us)


def as_made(given: AnyGiven, _at_us: int) -> AnyGiven:
    """Return the mark with the time that it was made with."""
    return given


async def taken_in(pipeline: Pipeline, last_us: int) -> None:
    """Wait until the bench has seen all readings."""
    while pipeline.benches[BENCH].now_us < last_us:  # noqa: ASYNC110 - the bench signals nothing
        await asyncio.sleep(LOOK_S)


async def passed(folder: Path, items: Sequence[Item]) -> tuple[float, int]:
    """Return the processor seconds until all of it was on disk, and how many commits."""
    config, clock, store = workshop(folder), FedClock(), CountingStore.open(folder)
    assert isinstance(store, CountingStore)
    bench = Bench(BENCH, CHANNELS, config.display, MORNING_US)
    pipeline = Pipeline(config, store, clock, [bench], AlarmLedger())
    running = asyncio.create_task(pipeline.run())
    screen = asyncio.create_task(watch(pipeline.live))
    await asyncio.sleep(0)
    started = time.process_time()
    await feed(pipeline, clock, items)
    running.cancel()  # it writes what is left
    await asyncio.gather(running, return_exceptions=True)
    spent = time.process_time() - started
    screen.cancel()
    store.close()
    assert pipeline.inbox.dropped == 0
    return spent, store.commits


def check(folder: Path, items: Sequence[Item]) -> None:
    """See that every reading is on disk, and every event as a bench alone makes it."""
    history = History(folder)
    readings, journal = judged(items)
    stored = list(history.bench_readings([c.name for c in CHANNELS], 0, 2**62))
    assert stored == readings
    assert [entry.event for entry in history.events_after(0, 10_000)] == journal


def raw_speed(readings: Sequence[Reading], size: int) -> float:
    """Return raw rows a second in batches of a size: the quickest of some, for each is short."""
    batches = [readings[n : n + size] for n in range(0, len(readings), size)]
    return len(readings) / min(seconds_raw_once(batches) for _ in range(RAW_TIMES))


def seconds_raw_once(batches: Sequence[Sequence[Reading]]) -> float:
    """Insert raw rows into a new file; return the processor seconds."""
    with tempfile.TemporaryDirectory() as name:
        return seconds_raw(Path(name), batches, time.process_time)


def one_round(items: Sequence[Item]) -> tuple[float, float, float]:
    """Return readings a second through the pipeline, and raw in batches as large and as busy."""
    readings = [item for item in items if isinstance(item, Reading)]
    with tempfile.TemporaryDirectory() as name:
        spent, commits = asyncio.run(passed(Path(name), items))
        check(Path(name), items)
    as_large = raw_speed(readings, -(-len(readings) // commits))
    return len(readings) / spent, as_large, raw_speed(readings, BUSY)


def measure() -> list[Figure]:
    """Return the pipeline's readings a second beside raw inserts."""
    items = made_day(SCENARIO, lots=1)
    rounds = [one_round(items) for _ in range(ROUNDS)]
    speed, as_large, busy = (statistics.median(column) for column in zip(*rounds, strict=True))
    what = "inbox to disk and screen, raw"
    return [
        Figure(f"{what} in batches as large", speed, as_large, "rows/cpu s", at_least=FLOOR),
        Figure(f"{what} in batches of {BUSY}", speed, busy, "rows/cpu s"),
    ]


if __name__ == "__main__":
    sys.exit(judge(measure))
