"""Backups of a store that 16 instruments fill at 10 Hz, with events in between."""

import asyncio
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from store_at_hand import LAST, lay, pourkeep
from store_samples import START_US, alarm_raised

from collector.events import encode
from collector.readings import Reading
from collector.store import History, Store
from collector.store.verify import verify

ENTRY = "import sys; from api.command_line import main; sys.exit(main())"
INSTRUMENTS = [f"mole-{n}" for n in range(16)]
EVERY_S = 0.1
TICKS_A_COMMIT = 5
"""Plain readings are committed every half second, as the pipeline does."""

EVENT_EVERY_TICKS = 3
BACKUPS = 3
LONGEST_COMMIT_S = 1.0
"""Far more than a commit takes on a busy machine, and less than one that waits for a copy."""

EVER = 2**62
HOUR_US = 3_600_000_000


@dataclass
class Load:
    """Writes until told to stop. `seen` are the events whose commit has returned."""

    store: Store
    seen: list[bytes] = field(default_factory=list)
    committed: int = 0
    longest_s: float = 0.0
    stopping: bool = False

    async def run(self) -> None:
        """Write in real time."""
        began_s = time.monotonic()
        for tick, readings in enumerate(self._batches(), 1):
            event = tick % EVENT_EVERY_TICKS == 0
            await self._commit(readings, event=event)
            if self.stopping:
                return
            await asyncio.sleep(max(0.0, began_s + tick * EVERY_S - time.monotonic()))

    def _batches(self) -> Iterator[list[Reading]]:
        """Give the readings of each tenth of a second, kept back until a commit is due."""
        pending: list[Reading] = []
        for tick in range(100_000):
            at_us = START_US + HOUR_US + tick * 100_000
            pending += [Reading(name, at_us + n, tick) for n, name in enumerate(INSTRUMENTS)]
            if tick % TICKS_A_COMMIT and (tick + 1) % EVENT_EVERY_TICKS:
                yield []
                continue
            yield pending
            pending = []

    async def _commit(self, readings: list[Reading], *, event: bool) -> None:
        events = [alarm_raised(f"load-{len(self.seen)}", None)] if event else []
        began_s = time.monotonic()
        await self.store.commit(readings, events)
        self.longest_s = max(self.longest_s, time.monotonic() - began_s)
        self.seen += [encode(one) for one in events]
        self.committed += len(readings)


async def backed_up_under_load(folder: Path, to: Path) -> tuple[Load, list[int]]:
    """Make backups one after the other; return how many events were seen before each."""
    load = Load(Store.open(folder))
    writing = asyncio.create_task(load.run())
    seen = []
    for number in range(BACKUPS):
        await asyncio.sleep(0.5)
        seen.append(len(load.seen))
        command = ("backup", "--data", str(folder), "--to", str(to / f"{number}.db"))
        process = await asyncio.create_subprocess_exec(sys.executable, "-c", ENTRY, *command)
        assert await process.wait() == 0
    load.stopping = True
    await writing
    load.store.close()
    return load, seen


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return lay(tmp_path / "data", readings=400_000)


@pytest.mark.asyncio
async def test_each_backup_holds_all_that_was_seen_before_it_began(
    folder: Path, tmp_path: Path
) -> None:
    load, seen = await backed_up_under_load(folder, tmp_path)
    assert 0 < seen[0] < seen[1] < seen[2] < len(load.seen)
    assert load.longest_s < LONGEST_COMMIT_S
    for number, before in enumerate(seen):
        new = tmp_path / f"new-{number}"
        assert pourkeep("restore", "--from", tmp_path / f"{number}.db", "--data", new) == 0
        assert verify(new) == []
        events = [encode(one.event) for one in History(new).events_after(LAST, EVER)]
        assert events == load.seen[: len(events)]
        assert before <= len(events) < len(load.seen)
    assert pourkeep("restore", "--from", tmp_path / "1.db", "--data", tmp_path / "new-0") == 1
    assert History(tmp_path / "new-0").last_seq() < History(tmp_path / "new-1").last_seq()
    assert verify(folder) == []
    history = History(folder)
    counts = [history.readings(name, START_US, EVER).times.size for name in INSTRUMENTS]
    assert sum(counts) == load.committed
