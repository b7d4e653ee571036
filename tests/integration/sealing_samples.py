"""Stores that seal in small blocks, and what they hold, for the tests of sealing."""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from collector.readings import Reading
from collector.retention import ALL_KEPT, Retention
from collector.store import History, Store
from collector.store.records import stored_reading
from collector.store.sealing import Sealing
from collector.store.upkeep import Maintained

SCALE = "mole-scale"
POT = "mole-pot"
START_US = 1_795_600_000_000_000
S_US = 1_000_000
HOUR_US = 3600 * S_US
DAY_US = 24 * HOUR_US
EVER = 2**62

SMALL = Sealing(block_readings=100, pause_us=0)
"""Small blocks, and rows counted at each call; the ages are the usual ones."""


@contextmanager
def opened(
    folder: Path, retention: Retention = ALL_KEPT, sealing: Sealing = SMALL
) -> Iterator[Store]:
    store = Store.open(folder, (), retention, sealing)
    try:
        yield store
    finally:
        store.close()


def readings(count: int, first_us: int = START_US, channel: str = SCALE) -> list[Reading]:
    """Return readings a second apart, each with a value of its own."""
    return [
        Reading(channel, first_us + n * S_US, (first_us // S_US + n) * 7 % 9973)
        for n in range(count)
    ]


async def all_done(store: Store, now_us: int) -> list[Maintained]:
    """Maintain until there is nothing to do; return what was done."""
    done: list[Maintained] = []
    while step := await store.maintain(now_us):
        done.append(step)
    return done


def asked(folder: Path, query: str) -> list[tuple[int, ...]]:
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection:
        return connection.execute(query).fetchall()


def blocks(folder: Path) -> list[int]:
    """Return how many readings each block holds, in the order of channel and time."""
    return [n for (n,) in asked(folder, "SELECT count FROM block ORDER BY channel, first_us")]


def rows(folder: Path) -> int:
    return asked(folder, "SELECT count(*) FROM reading")[0][0]


def stored(folder: Path, channel: str = SCALE) -> list[Reading]:
    """Return all readings of a channel as a curve shows them, late ones too."""
    span = History(folder).readings(channel, -EVER, EVER)
    columns = (column.tolist() for column in span)
    return [stored_reading(channel, *row) for row in zip(*columns, strict=True)]


def fed(folder: Path, channels: Iterable[str] = (SCALE,)) -> list[Reading]:
    """Return all readings as a replay is given them."""
    return list(History(folder).bench_readings(list(channels), -EVER, EVER))
