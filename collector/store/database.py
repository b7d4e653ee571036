"""The database file: who may open it, and how.

One file, write-ahead log, every commit synced. Exactly one connection writes and checkpoints;
all others are read-only.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import msgspec

from collector.errors import StoreError
from collector.store.migrations import MIGRATIONS, migrate
from collector.store.sqlite_errors import store_error

FILE_NAME = "pourkeep.db"
APPLICATION_ID = int.from_bytes(b"pkdb")
"""Marks the file as ours, see https://www.sqlite.org/pragma.html#pragma_application_id."""

SCHEMA_VERSION = len(MIGRATIONS)
OLDEST_SQLITE = (3, 38, 0)  # STRICT tables came with 3.37, built-in JSON functions with 3.38

UNREADABLE = (msgspec.MsgspecError, UnicodeDecodeError)
"""What damaged text raises: an event that is none, and SQLite's own complaint about a table whose
name is damaged, which Python cannot turn into text."""

_WRITER_PRAGMAS = (
    "PRAGMA journal_mode = WAL",
    "PRAGMA synchronous = FULL",  # NORMAL may lose the last commits when power fails
    "PRAGMA foreign_keys = ON",
    "PRAGMA mmap_size = 0",  # a stray write of the program cannot reach the file
    "PRAGMA journal_size_limit = 4194304",  # give the space back after a long-held read
)


def open_writer(folder: Path) -> sqlite3.Connection:
    """Open the folder's database for writing, make it or bring it up to date.

    Raises StoreError where the file is not ours, is from a newer version, or cannot be used.
    """
    _refuse_old_sqlite()
    path = folder / FILE_NAME
    with _sqlite_errors(folder):
        connection = sqlite3.connect(path, isolation_level=None)
        try:
            _refuse_foreign(connection, path)
            if _is_blank(connection):  # later it has no effect, and yet writes into the file
                connection.execute("PRAGMA auto_vacuum = INCREMENTAL").fetchall()
            for pragma in _WRITER_PRAGMAS:
                connection.execute(pragma).fetchall()
            migrate(connection, APPLICATION_ID)
        except BaseException:
            connection.close()
            raise
    return connection


@contextmanager
def reading_from(folder: Path) -> Iterator[sqlite3.Connection]:
    """Give a read-only connection for the block, which should be short.

    Raises StoreError where there is no store, or one that this version cannot read; in the
    block also where what is stored is no event or recipe any more.
    """
    path = folder / FILE_NAME
    if not _is_visible(path):
        raise StoreError(
            f"{folder}: there is no {FILE_NAME} here that this account may read. Name the data"
            " folder of a service that has run at least once."
        )
    uri = f"{path.absolute().as_uri()}?mode=ro"
    with _sqlite_errors(folder), closing(_connect_reader(uri)) as connection:
        _refuse_foreign(connection, path)
        _refuse_outdated(connection, path)
        yield connection


def _is_visible(path: Path) -> bool:
    try:
        return path.is_file()
    except PermissionError:
        return False


def _connect_reader(uri: str) -> sqlite3.Connection:
    return sqlite3.connect(uri, uri=True, isolation_level=None)


@contextmanager
def _sqlite_errors(folder: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise store_error(folder, error) from error
    except UNREADABLE as error:
        raise StoreError(
            f"{folder}: {FILE_NAME} is damaged ({error}). pourkeep verify --data {folder} says"
            " where, and what to do."
        ) from error


def _refuse_old_sqlite() -> None:
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        wanted = ".".join(str(part) for part in OLDEST_SQLITE)
        raise StoreError(
            f"Python's SQLite is {sqlite3.sqlite_version}, the store needs {wanted} or newer."
            " Install a newer SQLite library."
        )


def _refuse_foreign(connection: sqlite3.Connection, path: Path) -> None:
    application_id, version = _identity(connection)
    if application_id != APPLICATION_ID and not _is_blank(connection):
        raise StoreError(
            f"{path}: this is the database of another program. Move it away or choose another"
            " data folder."
        )
    if version > SCHEMA_VERSION:
        raise StoreError(
            f"{path}: this store is from a newer version of pourkeep (schema {version}, this"
            f" version knows {SCHEMA_VERSION}). Install that version or choose another folder."
        )


def _refuse_outdated(connection: sqlite3.Connection, path: Path) -> None:
    version = _identity(connection)[1]
    if version < SCHEMA_VERSION:
        raise StoreError(
            f"{path}: this store is from an earlier version of pourkeep (schema {version}, this"
            f" version reads {SCHEMA_VERSION}). Start the service once to bring it up to date."
        )


def _identity(connection: sqlite3.Connection) -> tuple[int, int]:
    (application_id,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    return application_id, version


def _is_blank(connection: sqlite3.Connection) -> bool:
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    application_id, version = _identity(connection)
    return (tables, application_id, version) == (0, 0, 0)
