"""All or nothing: what happens in a transaction is stored together or not at all."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """Run the block in one write transaction; any error takes all of it back.

    Raises sqlite3.Error.
    """
    if connection.in_transaction:  # an earlier roll-back failed with the disk
        connection.execute("ROLLBACK")
    # IMMEDIATE: a transaction that reads first and then wants to write fails without waiting.
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:  # SQLite rolls back by itself on a full disk
            connection.execute("ROLLBACK")
        raise


@contextmanager
def snapshot(connection: sqlite3.Connection) -> Iterator[None]:
    """Let all reads of the block see one moment, whatever is committed meanwhile.

    Raises sqlite3.Error.
    """
    connection.execute("BEGIN")
    try:
        yield
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
