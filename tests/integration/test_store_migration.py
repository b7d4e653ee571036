"""A store of schema 1 comes up to date with everything in it."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sealing_samples import DAY_US, SCALE, START_US, all_done, opened, rows, stored
from store_samples import LOT, lot_closed, lot_opened, recipe_kept, scale_readings, weighing

from collector.errors import StoreError
from collector.events import AnyEvent, encode
from collector.readings import Quality, Reading
from collector.store import History
from collector.store.chain import GENESIS, link
from collector.store.database import APPLICATION_ID, FILE_NAME
from collector.store.ledger import project
from collector.store.migrations import MIGRATIONS, migrate
from collector.store.queries import WRITING
from collector.store.verify import verify

FIRST_SCHEMA = MIGRATIONS[:1]
TRUSTED = [
    Reading(SCALE, START_US + 10_000_000 + n * 500_000, n * 13 % 977, Quality(n % 4))
    for n in range(5000)
]
EVIDENCE = scale_readings()
JOURNAL: list[AnyEvent] = [recipe_kept(), lot_opened(), weighing(EVIDENCE), lot_closed()]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A store as the first version left it: its own migration, its own rows."""
    with closing(sqlite3.connect(tmp_path / FILE_NAME, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = WAL").fetchall()
        migrate(connection, APPLICATION_ID, FIRST_SCHEMA)
        connection.execute("BEGIN")
        connection.execute("INSERT INTO channel VALUES (1, ?)", (SCALE,))
        connection.executemany(
            "INSERT INTO reading VALUES (1, ?, ?, ?)",
            [(r.taken_us, r.value, int(r.quality)) for r in [*EVIDENCE, *TRUSTED]],
        )
        keep_journal(connection)
        connection.execute("COMMIT")
    return tmp_path


def keep_journal(connection: sqlite3.Connection) -> None:
    chain = GENESIS
    for seq, event in enumerate(JOURNAL, 1):
        body = encode(event)
        chain = link(chain, body)
        columns = (seq, event.at_us, event.bench, event.lot, event.__struct_config__.tag)
        connection.execute(WRITING["add_event"], (*columns, body, chain))
        project(connection, seq, event)
    connection.execute(WRITING["move_tip"], (len(JOURNAL), chain))


@pytest.mark.asyncio
async def test_all_readings_and_events_are_there_after_the_migration(folder: Path) -> None:
    with opened(folder) as store:
        assert stored(folder) == [*EVIDENCE, *TRUSTED]
        assert [stored.event for stored in History(folder).events(LOT)] == JOURNAL[1:]
        assert History(folder).lot(LOT).kept is False
        assert verify(folder) == []
        await all_done(store, START_US + 3 * DAY_US)
    assert (stored(folder), rows(folder)) == ([*EVIDENCE, *TRUSTED], 0)
    assert verify(folder) == []


def test_a_reader_asks_for_the_service_first(folder: Path) -> None:
    with pytest.raises(StoreError, match=r"schema 1.*Start the service once"):
        History(folder).readings(SCALE, 0, START_US)


def test_a_migration_that_breaks_off_leaves_the_old_readings(folder: Path) -> None:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection, connection:
        connection.execute("CREATE TABLE block (theirs)")
    with pytest.raises(StoreError):
        opened(folder).__enter__()
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection, connection:
        (count,) = connection.execute("SELECT count(*) FROM reading").fetchone()
        connection.execute("DROP TABLE block")
    assert count == len(EVIDENCE) + len(TRUSTED)
    with opened(folder):
        assert stored(folder) == [*EVIDENCE, *TRUSTED]


def test_a_new_store_can_give_free_pages_back(tmp_path: Path) -> None:
    with opened(tmp_path):
        pass
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        assert connection.execute("PRAGMA auto_vacuum").fetchone() == (2,)  # 2 is INCREMENTAL
