"""A store in the middle of a simulated lot, and its files before and after single commits."""

import asyncio
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from lot_on_tape import BENCH, START_US, Tape, tape_of

from collector.bench import Bench
from collector.display import Display
from collector.events import AnyEvent
from collector.lot_events import RecipeKept
from collector.readings import Reading
from collector.store import Store

LOT = (20, 4)
BATCH_US = 4_000_000
CHECKPOINT_AT = 110
"""So many batches fill the log; those after it begin it anew and lie on old content."""

LOOKED_AT = (0, 1, 5, 9, 14)
"""Commits after the checkpoint whose files are kept; the first writes the log's head anew."""

Batch = tuple[list[Reading], list[AnyEvent]]


class Files(NamedTuple):
    """Database and write-ahead log as they lie on the disk."""

    database: bytes
    log: bytes

    @classmethod
    def of(cls, folder: Path) -> "Files":
        """Read them."""
        return cls(*((folder / f"pourkeep.db{end}").read_bytes() for end in ("", "-wal")))

    def lay(self, folder: Path) -> Path:
        """Write them into a folder, without the log's index: that is memory, and gone."""
        folder.mkdir()
        (folder / "pourkeep.db").write_bytes(self.database)
        (folder / "pourkeep.db-wal").write_bytes(self.log)
        return folder


class Commit(NamedTuple):
    """One commit: the files before and after, and the database once it is checkpointed.

    `events` and `readings` are how many were synced before it.
    """

    before: Files
    after: Files
    checkpointed: bytes
    events: int
    readings: int


def batches_of(tape: Tape) -> Iterator[Batch]:
    """Give a tape as a bench and its pipeline would commit it."""
    bench = Bench(BENCH, tape.channels, Display(), START_US)
    given = iter(tape.givens)
    ahead = next(given)
    readings: list[Reading] = []
    events: list[AnyEvent] = []
    for reading in tape.readings:
        while ahead is not None and ahead.at_us <= reading.taken_us:
            events.append(ahead)
            events += [] if isinstance(ahead, RecipeKept) else bench.feed(ahead)
            ahead = next(given, None)  # type: ignore[assignment]
        readings.append(reading)
        events += bench.feed(reading)
        if events or reading.taken_us - readings[0].taken_us >= BATCH_US:
            yield readings, events
            readings, events = [], []


def execute(store: Store, statement: str) -> None:
    """Let the one connection that writes do something."""
    connection = store._ledger.connection
    store._thread.submit(lambda: connection.execute(statement).fetchall()).result()


async def lived(folder: Path) -> list[Commit]:
    """Write a part of a lot and return the commits that are looked at."""
    batches = list(batches_of(tape_of(*LOT)))
    store = Store.open(folder)
    for batch in batches[:CHECKPOINT_AT]:
        await store.commit(*batch)
    execute(store, "PRAGMA wal_checkpoint(FULL)")
    commits = []
    for number, batch in enumerate(batches[CHECKPOINT_AT:][: LOOKED_AT[-1] + 1]):
        before = Files.of(folder)
        await store.commit(*batch)
        if number in LOOKED_AT:
            sizes = sums(batches[: CHECKPOINT_AT + number])
            commits.append(Commit(before, Files.of(folder), checkpointed(folder), *sizes))
    store.close()
    return commits


def checkpointed(folder: Path) -> bytes:
    """Return what a checkpoint would make of a folder's database, the folder left as it is."""
    copy = Files.of(folder).lay(folder.with_name("checkpointed"))
    store = Store.open(copy)
    execute(store, "PRAGMA wal_checkpoint(FULL)")
    found = (copy / "pourkeep.db").read_bytes()
    store.close()
    for path in copy.iterdir():
        path.unlink()
    copy.rmdir()
    return found


def sums(batches: Sequence[Batch]) -> tuple[int, int]:
    """Return how many events and readings there are."""
    return sum(len(events) for _, events in batches), sum(len(r) for r, _ in batches)


def mid_life(folder: Path) -> list[Commit]:
    """Return commits of a store in the middle of a lot."""
    return asyncio.run(lived(folder))
