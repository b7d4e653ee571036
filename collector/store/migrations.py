"""Numbered changes of the schema, each applied once, together with its record."""

import sqlite3
from collections.abc import Sequence
from pathlib import Path

import msgspec

from collector.store.transaction import transaction


class Migration(msgspec.Struct, frozen=True):
    """One step of the schema; `number` counts from 1 without a gap."""

    number: int
    name: str
    sql: str


def read_migrations(folder: Path) -> tuple[Migration, ...]:
    """Return the migrations in files such as `0001_first.sql`, in order.

    Raises ValueError where the numbers do not count 1, 2, 3 and so on.
    """
    migrations = []
    for number, path in enumerate(sorted(folder.glob("*.sql")), start=1):
        prefix, _, name = path.stem.partition("_")
        if prefix != f"{number:04}":
            raise ValueError(f"{path.name} should have the number {number:04}")
        migrations.append(Migration(number, name, path.read_text("utf-8")))
    return tuple(migrations)


MIGRATIONS = read_migrations(Path(__file__).parent / "migrations")


def migrate(
    connection: sqlite3.Connection,
    application_id: int,
    migrations: Sequence[Migration] = MIGRATIONS,
) -> None:
    """Apply what the file lacks, each migration with its record in one transaction.

    Raises sqlite3.Error, after which the file is as the last complete migration left it.
    """
    (done,) = connection.execute("PRAGMA user_version").fetchone()
    for migration in migrations[done:]:
        _apply(connection, application_id, migration)


def _apply(connection: sqlite3.Connection, application_id: int, migration: Migration) -> None:
    with transaction(connection):
        for statement in _statements(migration.sql):
            connection.execute(statement)
        connection.execute(
            "INSERT INTO migration (number, name) VALUES (?, ?)",
            (migration.number, migration.name),
        )
        connection.execute(f"PRAGMA application_id = {application_id:d}")
        connection.execute(f"PRAGMA user_version = {migration.number:d}")


def _statements(sql: str) -> list[str]:
    # sqlite3's executescript() commits first, which would part a migration from its record.
    statements = [""]
    for line in sql.splitlines(keepends=True):
        statements[-1] += line
        if sqlite3.complete_statement(statements[-1]):
            statements.append("")
    return [statement for statement in statements if statement.strip()]
