"""A real InfluxDB server, this store and plain SQLite rows at the same work, in one run.

    python tests/benchmarks/influx_beside.py

All three get the same readings in the same batches: a lot of 8 h with 4 channels at 2 Hz a day,
a hundred days of it. Each batch is on the disk before the next one comes: a synced transaction,
or an answer of the server, which syncs its log first. What is timed for the server begins with
the readings, so the lines are part of it. The curve is that of the first day's lot, read whole
and reduced to 2,000 points, once with that day alone and once with all of them; it is asked of
each side directly, without the service's own HTTP around it.

On disk is what the files take up after all is written. The server is told to move its log into
files and to compact them whole once nothing has been written for a second, instead of ten minutes
and four hours, and is waited for until its folder has not changed for some seconds.

Told, not judged: the server does other things than an embedded file. It takes a quarter of an
hour and some gigabytes of disk, so it is not among those of `all.py`.
"""

import asyncio
import shutil
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple, Protocol

import numpy as np
from curve_time import BATCH, CHANNELS, DAY_US, LASTS_S, POINTS, TODAY_US, rows
from figures import Figure, judge
from influx_process import InfluxProcess, influxd
from made_readings import PER_S

from collector.curves import reduce_curve
from collector.readings import Channel, Reading
from collector.store import History, ReadingSpan, Store
from collector.store.influx.curves import read_span
from collector.store.influx.delivery import deliver
from collector.store.influx.points import Lines
from collector.store.influx.server import InfluxServer

DAYS = 100
ROUNDS = 5
LOT_US = LASTS_S * 1_000_000
COLD = "1s"
STEADY_S = 6.0
"""A folder that has not changed for so long is compacted: the server looks every second."""

Batch = Sequence[Reading]

LATER_US = TODAY_US + 2 * DAYS * DAY_US
"""When all of it has settled long ago."""


class Side(Protocol):
    """One of the three."""

    name: str
    folder: Path

    def write(self, batch: Batch) -> None:
        """Take a batch; when this returns, it is on the disk."""
        ...

    def span(self, channel: Channel, from_us: int, to_us: int) -> ReadingSpan:
        """Return a channel's readings, ends included."""
        ...

    def settle(self) -> None:
        """Wait until the files are as small as they get."""
        ...


class StoreSide:
    """The embedded store, asked as the service asks it."""

    name = "store"

    def __init__(self, folder: Path, runner: asyncio.Runner) -> None:
        self.folder = folder
        self._run = runner.run
        self._store = Store.open(folder)

    def write(self, batch: Batch) -> None:
        self._run(self._store.commit(batch, []))

    def span(self, channel: Channel, from_us: int, to_us: int) -> ReadingSpan:
        return History(self.folder).readings(channel.name, from_us, to_us)

    def settle(self) -> None:
        while self._run(self._store.maintain(LATER_US)):
            pass  # sealed, as a service has it a day later
        self.close()
        self._store = Store.open(self.folder)

    def close(self) -> None:
        self._store.close()


class RowSide:
    """Plain rows with an index that finds a channel's span."""

    name = "plain rows"

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir()
        self._connection = sqlite3.connect(folder / "rows.db", isolation_level=None)
        for statement in (
            "PRAGMA journal_mode = WAL",
            "PRAGMA synchronous = FULL",
            "CREATE TABLE reading (channel TEXT, taken_us INT, value INT, quality INT)",
            "CREATE INDEX by_time ON reading (channel, taken_us)",
        ):
            self._connection.execute(statement).fetchall()

    def write(self, batch: Batch) -> None:
        rows = [(r.channel, r.taken_us, r.value, int(r.quality)) for r in batch]
        self._connection.execute("BEGIN IMMEDIATE")
        self._connection.executemany("INSERT INTO reading VALUES (?, ?, ?, ?)", rows)
        self._connection.execute("COMMIT")

    def span(self, channel: Channel, from_us: int, to_us: int) -> ReadingSpan:
        rows = self._connection.execute(
            "SELECT taken_us, value, quality FROM reading"
            " WHERE channel = ? AND taken_us BETWEEN ? AND ? ORDER BY taken_us",
            (channel.name, from_us, to_us),
        ).fetchall()
        table = np.array(rows, dtype=np.int64).reshape(-1, 3)
        return ReadingSpan(table[:, 0], table[:, 1], table[:, 2].astype(np.uint8))

    def settle(self) -> None:
        self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()

    def close(self) -> None:
        self._connection.close()


class ServerSide:
    """InfluxDB, written to and asked as the service does."""

    name = "InfluxDB"

    def __init__(self, process: InfluxProcess) -> None:
        self.folder = process.folder
        self._server = InfluxServer(process.config("bench"), answer_s=60)
        self._lines = Lines({channel.name: channel for channel in CHANNELS})

    def write(self, batch: Batch) -> None:
        refused = deliver(self._server.write, [self._lines.reading(r) for r in batch])
        assert refused == []

    def span(self, channel: Channel, from_us: int, to_us: int) -> ReadingSpan:
        return read_span(self._server, channel, from_us, to_us)

    def settle(self) -> None:
        last, since_s = -1, time.monotonic()
        while time.monotonic() - since_s < STEADY_S:
            time.sleep(0.5)
            now = on_disk(self.folder)
            if now != last:
                last, since_s = now, time.monotonic()


def on_disk(folder: Path) -> int:
    """Return the bytes that the files of a folder take up; holes in them take up none."""
    total = 0
    for path in folder.rglob("*"):
        try:
            found = path.stat()
        except FileNotFoundError:  # a compaction replaced it
            continue
        total += found.st_blocks * 512 if path.is_file() and path.name != "log" else 0
    return total


@contextmanager
def sides(folder: Path) -> Iterator[Sequence[Side]]:
    """Give the three, each with a folder of its own."""
    with (
        influxd(folder / "influx", cold=COLD) as process,
        asyncio.Runner() as runner,
        closing(StoreSide(folder / "store", runner)) as store,
        closing(RowSide(folder / "rows")) as rows,
    ):
        yield [store, rows, ServerSide(process)]


class Measured(NamedTuple):
    """What one side did."""

    written_s: float
    short_ms: float
    long_ms: float
    bytes_each: float


def write_day(side: Side, day: Sequence[Batch]) -> float:
    """Return the seconds that a side takes for the batches of a day."""
    began_s = time.perf_counter()
    for batch in day:
        side.write(batch)
    return time.perf_counter() - began_s


def curve_ms(side: Side) -> float:
    """Return the median time of the first lot's curves, in milliseconds."""
    spent: list[float] = []
    for _ in range(ROUNDS):
        for channel in CHANNELS:
            began_s = time.perf_counter()
            span = side.span(channel, TODAY_US, TODAY_US + LOT_US)
            times, _values = reduce_curve(span.times, span.values, POINTS)
            spent.append((time.perf_counter() - began_s) * 1000)
            assert span.times.size == LASTS_S * PER_S
            assert POINTS / 2 < times.size <= POINTS
    return statistics.median(spent)


def compare(folder: Path) -> dict[str, Measured]:
    """Let the three do the same, turn by turn."""
    with sides(folder) as three:
        written = {side.name: 0.0 for side in three}
        short: dict[str, float] = {}
        for day in range(DAYS):
            made = rows(TODAY_US + day * DAY_US)
            for side in three:
                written[side.name] += write_day(side, made)
            if day == 0:
                short = {side.name: settled(side, curve_ms) for side in three}
        readings = DAYS * len(CHANNELS) * LASTS_S * PER_S
        long = {side.name: settled(side, curve_ms) for side in three}
        each = {side.name: on_disk(side.folder) / readings for side in three}
        return {
            name: Measured(written[name] / readings, short[name], long[name], each[name])
            for name in written
        }


def settled(side: Side, ask: Callable[[Side], float]) -> float:
    """Let a side come to rest, then ask."""
    side.settle()
    return ask(side)


def measure() -> list[Figure]:
    """Return the figures of the three beside each other."""
    assert shutil.which("influxd"), "the server comes with the packages of deploy/test"
    with tempfile.TemporaryDirectory() as name:
        found = compare(Path(name))
    store, rows, server = found["store"], found["plain rows"], found["InfluxDB"]
    rate = f"written by {BATCH:,}"
    return [
        Figure(f"{rate}: InfluxDB beside the store", 1 / server[0], 1 / store[0], "rows/s"),
        Figure(f"{rate}: plain rows beside the store", 1 / rows[0], 1 / store[0], "rows/s"),
        Figure("a reading on disk: InfluxDB beside the store", server[3], store[3], "bytes"),
        Figure("a reading on disk: plain rows beside the store", rows[3], store[3], "bytes"),
        *_curves("1 lot", store.short_ms, rows.short_ms, server.short_ms),
        *_curves(f"{DAYS} lots", store.long_ms, rows.long_ms, server.long_ms),
        Figure(f"curve, InfluxDB, {DAYS} lots against 1", server[2], server[1], "ms"),
        Figure(f"curve, store, {DAYS} lots against 1", store[2], store[1], "ms"),
    ]


def _curves(held: str, store_ms: float, rows_ms: float, server_ms: float) -> list[Figure]:
    return [
        Figure(f"curve, {held}: InfluxDB beside the store", server_ms, store_ms, "ms"),
        Figure(f"curve, {held}: plain rows beside the store", rows_ms, store_ms, "ms"),
    ]


if __name__ == "__main__":
    sys.exit(judge(measure))
