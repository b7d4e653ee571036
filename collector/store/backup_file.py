"""A backup: one file with a whole store in it, which nobody writes any more."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import msgspec

from collector.errors import BackupError
from collector.store.database import APPLICATION_ID, FILE_NAME, SCHEMA_VERSION, UNREADABLE
from collector.store.faults import Fault
from collector.store.journal_break import first_break
from collector.store.queries import VERIFYING
from collector.store.unfinished_file import SQLITE_ENDINGS
from collector.store.verify import faults_in

KEEP_IT = "Keep the file as it is and use another backup."

_PRIMARY_CODE = 0xFF  # an extended result code carries its primary code in the low byte

# Primary result codes: https://www.sqlite.org/rescode.html
_MEANINGS = {
    sqlite3.SQLITE_CORRUPT: "this file is damaged",
    sqlite3.SQLITE_NOTADB: "this file is no backup of pourkeep, or its beginning is damaged",
}


class BackupFacts(msgspec.Struct, frozen=True):
    """What a checked backup holds; `last_us` is the last event's time, None where there is none.

    `faults` are those that `pourkeep verify` names and that a copy can have from a store which
    works with them: a reading that is missing, a table that needs a rebuild. `version` is that
    of the schema.
    """

    size: int
    events: int
    last_us: int | None
    version: int
    faults: tuple[Fault, ...] = ()


def check_backup(path: Path) -> BackupFacts:
    """Return what a backup holds, after SQLite's own check, the chain, and all of `verify`.

    A backup of an earlier schema cannot be held against today's tables: there it is SQLite's
    check and the chain alone. Raises BackupError, with what is wrong, where it is no backup or
    is damaged.
    """
    _refuse_other_than_file(path)
    with _open(path) as connection:
        version = _version(path, connection)
        _refuse_broken(path, connection)
        events, last_us = connection.execute(VERIFYING["extent"]).fetchone()
        faults = faults_in(connection) if version == SCHEMA_VERSION else []
    damages = [fault for fault in faults if fault.place == FILE_NAME]
    if damages:
        raise BackupError(f"{path}: this file is damaged. {damages[0].sentence} {KEEP_IT}")
    return BackupFacts(path.stat().st_size, events, last_us, version, tuple(faults))


def _refuse_other_than_file(path: Path) -> None:
    try:
        is_folder, is_file = path.is_dir(), path.is_file()
    except PermissionError as error:
        raise BackupError(f"{path}: this account may not look there ({error.strerror}).") from error
    if is_folder:
        raise BackupError(f"{path}: this is a folder. Name the backup's file.")
    if not is_file:
        raise BackupError(f"{path}: there is no file by this name. Name the backup's file.")
    for ending in SQLITE_ENDINGS:
        beside = path.with_name(path.name + ending)
        if beside.exists() and beside.stat().st_size:
            raise BackupError(
                f"{path}: {beside.name} lies beside it, so this is a store in use or a part of"
                f" one, and no backup. pourkeep backup --data {path.parent} makes one of it."
            )


@contextmanager
def _open(path: Path) -> Iterator[sqlite3.Connection]:
    # immutable: without locks, and without files beside it on a disk that may be read-only
    uri = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    try:
        with closing(sqlite3.connect(uri, uri=True, isolation_level=None)) as connection:
            yield connection
    except (sqlite3.DatabaseError, *UNREADABLE) as error:
        # Python's own complaint about a text that is none carries no code.
        code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT)
        what = _MEANINGS.get(code & _PRIMARY_CODE, "this file cannot be read")
        raise BackupError(f"{path}: {what} ({error}). {KEEP_IT}") from error


def _version(path: Path, connection: sqlite3.Connection) -> int:
    (application_id,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if application_id != APPLICATION_ID:
        raise BackupError(f"{path}: this is no backup of pourkeep. Name another file.")
    if version > SCHEMA_VERSION:
        raise BackupError(
            f"{path}: this backup is from a newer version of pourkeep (schema {version}, this"
            f" version knows {SCHEMA_VERSION}). Install that version and restore with it."
        )
    return int(version)


def _refuse_broken(path: Path, connection: sqlite3.Connection) -> None:
    verdicts = [text for (text,) in connection.execute("PRAGMA integrity_check").fetchall()]
    if verdicts != ["ok"]:
        raise BackupError(
            f"{path}: this file is damaged. SQLite: {verdicts[0].splitlines()[0]}. {KEEP_IT}"
        )
    found = first_break(connection)
    if found is not None:
        raise BackupError(
            f"{path}: its journal breaks at event {found.seq:,} of {found.last:,}."
            f" {found.fault.sentence} {KEEP_IT}"
        )
