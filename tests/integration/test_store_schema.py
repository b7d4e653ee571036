import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from collector.store import migrations
from collector.store.migrations import MIGRATIONS, Migration, migrate, read_migrations
from collector.store.queries import SENDING

APPLICATION_ID = 1885037666  # "pkdb" in ASCII, big-endian
SCHEMA = Path(migrations.__file__).with_name("schema.sql")

COLUMN = Migration(len(MIGRATIONS) + 1, "shelf", "ALTER TABLE lot ADD COLUMN shelf TEXT;")
BROKEN = Migration(
    len(MIGRATIONS) + 1,
    "broken",
    "ALTER TABLE lot ADD COLUMN shelf TEXT;\nINSERT INTO no_such_table VALUES (1);\n",
)


@pytest.fixture
def connection() -> Iterator[sqlite3.Connection]:
    connection = sqlite3.connect(":memory:", isolation_level=None)
    yield connection
    connection.close()


def schema_of(connection: sqlite3.Connection) -> dict[str, str]:
    rows = connection.execute("SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL")
    return {name: " ".join(sql.split()) for name, sql in rows.fetchall()}


def recorded(connection: sqlite3.Connection) -> list[tuple[int, str]]:
    return connection.execute("SELECT number, name FROM migration ORDER BY number").fetchall()


def version(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def test_all_migrations_together_make_the_schema(connection: sqlite3.Connection) -> None:
    migrate(connection, APPLICATION_ID)
    described = sqlite3.connect(":memory:")
    described.executescript(SCHEMA.read_text("utf-8"))
    assert schema_of(connection) == schema_of(described)
    described.close()


def test_every_table_is_strict(connection: sqlite3.Connection) -> None:
    migrate(connection, APPLICATION_ID)
    tables = connection.execute(
        "SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND type = 'table'"
    ).fetchall()
    loose = [name for name, strict in tables if not strict and not name.startswith("sqlite_")]
    assert len(tables) > 5
    assert loose == []


@pytest.mark.parametrize("query", ["refusals", "refused", "trim_refused", "depth", "waiting"])
def test_what_a_sender_asks_every_few_seconds_scans_no_table(
    connection: sqlite3.Connection, query: str
) -> None:
    migrate(connection, APPLICATION_ID)
    names = {"target": "influx", "most": 10}
    values = (
        names if ":target" in SENDING[query] else ("influx", 10, 10)[: SENDING[query].count("?")]
    )
    plan = connection.execute(f"EXPLAIN QUERY PLAN {SENDING[query]}", values).fetchall()
    steps = [detail for *_, detail in plan]
    assert [step for step in steps if step.startswith("SCAN")] == []
    assert any("_by_target (target=?" in step for step in steps)


def test_each_migration_is_recorded_and_the_file_marked(connection: sqlite3.Connection) -> None:
    migrate(connection, APPLICATION_ID)
    assert recorded(connection) == [(m.number, m.name) for m in MIGRATIONS]
    assert version(connection) == len(MIGRATIONS)
    assert connection.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)


def test_only_what_is_missing_is_applied(connection: sqlite3.Connection) -> None:
    migrate(connection, APPLICATION_ID)
    migrate(connection, APPLICATION_ID)
    migrate(connection, APPLICATION_ID, [*MIGRATIONS, COLUMN])
    assert recorded(connection)[-1] == (COLUMN.number, "shelf")
    assert version(connection) == COLUMN.number
    assert "shelf" in schema_of(connection)["lot"]


def test_a_migration_that_fails_leaves_nothing_behind(connection: sqlite3.Connection) -> None:
    migrate(connection, APPLICATION_ID)
    before = schema_of(connection)
    with pytest.raises(sqlite3.OperationalError, match="no_such_table"):
        migrate(connection, APPLICATION_ID, [*MIGRATIONS, BROKEN])
    assert schema_of(connection) == before
    assert recorded(connection)[-1][1] != "broken"
    assert version(connection) == len(MIGRATIONS)


def test_a_gap_in_the_numbers_of_the_migrations_is_refused(tmp_path: Path) -> None:
    (tmp_path / "0001_first.sql").write_text("SELECT 1;")
    (tmp_path / "0003_third.sql").write_text("SELECT 1;")
    with pytest.raises(ValueError, match=r"0003_third\.sql should have the number 0002"):
        read_migrations(tmp_path)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE event SET at_us = 2",
        "DELETE FROM event",
        "INSERT OR REPLACE INTO event VALUES (1, 2, NULL, NULL, 'k', x'00', zeroblob(32))",
        "INSERT INTO event VALUES (0, 2, NULL, NULL, 'k', x'00', zeroblob(32))",
    ],
)
def test_the_journal_refuses_everything_but_additions(
    connection: sqlite3.Connection, statement: str
) -> None:
    migrate(connection, APPLICATION_ID)
    connection.execute(
        "INSERT INTO event VALUES (1, 1, NULL, NULL, 'k', x'7b7d', zeroblob(32))",
    )
    with pytest.raises(sqlite3.IntegrityError, match="the journal is only added to"):
        connection.execute(statement)
    assert connection.execute("SELECT at_us, body FROM event").fetchall() == [(1, b"{}")]
