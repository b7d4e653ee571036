"""How much of the disk a sealed reading takes, beside a plain row, and how long sealing takes.

    python tests/benchmarks/sealed_size.py

A day of eight channels at 2 Hz goes into a store, is measured as rows, sealed by the store's own
upkeep and measured again: used pages of the file, less those of an empty store. Every size of a
block that is tried is told; the budget is held by the one that the service uses.
"""

import asyncio
import sqlite3
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import closing
from itertools import product
from pathlib import Path
from typing import NamedTuple

import numpy as np
from figures import Figure, judge
from made_readings import PER_S, span

from collector.readings import Reading, Role
from collector.store import Store
from collector.store.blocks import BLOCK_READINGS
from collector.store.sealing import Sealing

MUST_BYTES = 1.5
"""The design's budget for one sealed reading."""

COMMIT_MUST_MS = 100.0
"""A commit waits for the step that is under way: no longer than a person notices."""

BENCHES = 2
LASTS_S = 12 * 3600
BEGAN_US = 1_795_600_000_000_000
BATCH = 20_000
LATER_US = BEGAN_US + 3 * 86_400_000_000
SIZES = (2048, 4096, BLOCK_READINGS, 16_384)


class Sizes(NamedTuple):
    """Bytes a reading as rows and sealed, and the longest step of sealing."""

    rows: float
    sealed: float
    longest_ms: float


def readings() -> list[Reading]:
    """Return the readings of all channels as they come in."""
    rng = np.random.default_rng(11)
    made: list[Reading] = []
    for bench, role in product(range(BENCHES), Role):
        times, values, _ = span(role, BEGAN_US, LASTS_S, rng)
        pairs = zip(times.tolist(), values.tolist(), strict=True)
        made += [Reading(f"bench-{bench}-{role}", *pair) for pair in pairs]
    return sorted(made, key=lambda reading: reading.taken_us)


def used_bytes(folder: Path) -> int:
    """Return how much of the file holds something."""
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection:
        pages, free, size = (
            connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("page_count", "freelist_count", "page_size")
        )
    return int((pages - free) * size)


async def sizes(folder: Path, made: Sequence[Reading], block_readings: int) -> Sizes:
    """Fill a store, seal it, and return what a reading took before and after."""
    store = Store.open(folder, sealing=Sealing(block_readings=block_readings))
    empty = used_bytes(folder)
    for start in range(0, len(made), BATCH):
        await store.commit(made[start : start + BATCH], [])
    rows = used_bytes(folder) - empty
    longest_s = 0.0
    while True:
        began_s = time.perf_counter()
        done = await store.maintain(LATER_US)
        longest_s = max(longest_s, time.perf_counter() - began_s)
        if not done:
            break
    sealed = used_bytes(folder) - empty
    store.close()
    return Sizes(rows / len(made), sealed / len(made), longest_s * 1000)


def measure() -> list[Figure]:
    """Return the bytes of a sealed reading, held against the budget, and of a row."""
    made = readings()
    assert len(made) == BENCHES * len(Role) * LASTS_S * PER_S
    figures = []
    for block_readings in SIZES:
        with tempfile.TemporaryDirectory() as name:
            found = asyncio.run(sizes(Path(name), made, block_readings))
        ours = block_readings == BLOCK_READINGS
        what = f"sealed reading, blocks of {block_readings:,}"
        bound = 1.0 if ours else None
        figures.append(Figure(what, found.sealed, MUST_BYTES, "bytes", at_most=bound))
        if ours:
            figures.append(
                Figure("a reading as a row, sealed beside it", found.rows, found.sealed, "bytes")
            )
            what = "longest step of sealing"
            figures.append(Figure(what, found.longest_ms, COMMIT_MUST_MS, "ms", at_most=1.0))
    return figures


if __name__ == "__main__":
    sys.exit(judge(measure))
