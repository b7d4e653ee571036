import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from collector.store.transaction import transaction


@pytest.fixture
def connection(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    connection = sqlite3.connect(tmp_path / "any.db", isolation_level=None)
    connection.execute("CREATE TABLE pour (grams INTEGER)")
    yield connection
    connection.close()


def stored(connection: sqlite3.Connection) -> list[int]:
    return [grams for (grams,) in connection.execute("SELECT grams FROM pour").fetchall()]


def fail_halfway(connection: sqlite3.Connection) -> None:
    with transaction(connection):
        connection.execute("INSERT INTO pour VALUES (180)")
        raise KeyboardInterrupt


def test_a_block_that_ends_is_stored_whole(connection: sqlite3.Connection) -> None:
    with transaction(connection):
        connection.execute("INSERT INTO pour VALUES (180)")
        connection.execute("INSERT INTO pour VALUES (181)")
    assert not connection.in_transaction
    assert stored(connection) == [180, 181]


def test_a_block_that_fails_is_taken_back_whole(connection: sqlite3.Connection) -> None:
    with pytest.raises(KeyboardInterrupt):
        fail_halfway(connection)
    assert not connection.in_transaction
    assert stored(connection) == []


def test_no_other_writer_gets_in_between_a_read_and_the_write_that_follows(
    connection: sqlite3.Connection, tmp_path: Path
) -> None:
    other = sqlite3.connect(tmp_path / "any.db", isolation_level=None, timeout=0)
    with transaction(connection), pytest.raises(sqlite3.OperationalError, match="is locked"):
        other.execute("INSERT INTO pour VALUES (1)")
    other.close()


def test_what_an_earlier_failure_left_open_is_taken_back_first(
    connection: sqlite3.Connection,
) -> None:
    connection.execute("BEGIN")
    connection.execute("INSERT INTO pour VALUES (1)")
    with transaction(connection):
        connection.execute("INSERT INTO pour VALUES (2)")
    assert stored(connection) == [2]
