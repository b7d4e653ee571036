"""How fast the store commits, against raw rows into SQLite in the same run.

    python tests/benchmarks/store_commit.py

Both sides write the same readings in the same batches to the same disk, one synced transaction
a batch; the raw side into one plain table by `executemany`. Prints the ratio for batches as
they come at a bench and for large ones, and the time of reading a lot's curve.
"""

import asyncio
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

from figures import Figure, judge

from collector.readings import Reading
from collector.store import History, Store

CHANNELS = 8
ROUNDS = 3
SHAPES = ((16, 400), (200, 100), (10_000, 8))
"""Readings in a batch (8 instruments at 2 Hz; a busy second; an import), and batches."""

CURVE_READINGS = 8 * 3600 * 2  # an 8 h lot, one channel at 2 Hz
CURVE_MUST_MS = 30.0  # the design's budget for reading, reducing and sending it
FLOOR = 0.10  # the design's budget for the whole path; the store alone must be well above

Batches = Sequence[Sequence[Reading]]


def batches_of(size: int, count: int) -> Batches:
    """Return `count` batches of `size` readings, all different."""
    names = [f"bench-{n}" for n in range(CHANNELS)]
    return [
        [Reading(names[n % CHANNELS], batch * size + n, 180_000 + n) for n in range(size)]
        for batch in range(count)
    ]


def seconds_raw(
    folder: Path, batches: Batches, clock: Callable[[], float] = time.perf_counter
) -> float:
    """Return how long plain inserts take by a clock."""
    rows = [[(r.channel, r.taken_us, r.value, int(r.quality)) for r in b] for b in batches]
    with closing(sqlite3.connect(folder / "raw.db", isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("CREATE TABLE reading (channel TEXT, taken_us INT, value INT, q INT)")
        started = clock()
        for batch in rows:
            connection.execute("BEGIN IMMEDIATE")
            connection.executemany("INSERT INTO reading VALUES (?, ?, ?, ?)", batch)
            connection.execute("COMMIT")
        return clock() - started


def seconds_store(folder: Path, batches: Batches) -> float:
    """Return how long the store takes from the event loop."""

    async def run() -> float:
        store = Store.open(folder)
        started = time.perf_counter()
        for batch in batches:
            await store.commit(batch, [])
        spent = time.perf_counter() - started
        store.close()
        return spent

    return asyncio.run(run())


def best(measure: Callable[[Path, Batches], float], batches: Batches) -> float:
    """Return the quickest of several rounds, each in a fresh folder."""
    spent = []
    for _ in range(ROUNDS):
        with tempfile.TemporaryDirectory() as folder:
            spent.append(measure(Path(folder), batches))
    return min(spent)


def compare(size: int, count: int) -> Figure:
    """Return the store's speed beside raw inserts."""
    batches = batches_of(size, count)
    raw, stored = best(seconds_raw, batches), best(seconds_store, batches)
    rows = size * count
    what = f"store, batches of {size:,}"
    return Figure(what, rows / stored, rows / raw, "rows/s", at_least=FLOOR)


def curve_ms() -> float:
    """Return how long it takes to read one channel of an 8 h lot, in milliseconds."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        seconds_store(folder, batches_of(CURVE_READINGS * CHANNELS, 1))
        spent = []
        for _ in range(ROUNDS):
            started = time.perf_counter()
            span = History(folder).readings("bench-0", 0, 2**62)
            spent.append(time.perf_counter() - started)
        assert span.times.size == CURVE_READINGS
        return min(spent) * 1000


def measure() -> list[Figure]:
    """Return the ratios, and the time of reading a curve beside the budget of a whole one."""
    ratios = [compare(size, count) for size, count in SHAPES]
    what = f"store, curve of {CURVE_READINGS:,} readings"
    return [*ratios, Figure(what, curve_ms(), CURVE_MUST_MS, "ms", at_most=1.0)]


if __name__ == "__main__":
    sys.exit(judge(measure))
