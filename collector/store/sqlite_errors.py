"""What SQLite's errors mean to a person: a sentence and a remedy for each kind."""

import sqlite3
from pathlib import Path

from collector.errors import StoreError

# Primary result codes: https://www.sqlite.org/rescode.html
_MEANINGS = {
    sqlite3.SQLITE_FULL: (
        "the disk is full",
        "Free some space on the disk that holds this folder.",
    ),
    sqlite3.SQLITE_IOERR: (
        "the disk cannot be read or written",
        "Check the disk, its cable and the system's log.",
    ),
    sqlite3.SQLITE_READONLY: (
        "the folder or its pourkeep.db may not be written",
        "Give the account that runs the service the right to write there.",
    ),
    sqlite3.SQLITE_PERM: (
        "access to pourkeep.db was denied",
        "Give the account that runs this program the right to it.",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "pourkeep.db cannot be opened",
        "Check that the folder exists and that this account has the right to it.",
    ),
    sqlite3.SQLITE_BUSY: (
        "another program keeps pourkeep.db locked",
        "End the program that has it open for writing.",
    ),
    sqlite3.SQLITE_CORRUPT: (
        "pourkeep.db is damaged",
        "Stop the service, keep a copy of the folder, and restore the last backup.",
    ),
    sqlite3.SQLITE_NOTADB: (
        "pourkeep.db is not a database",
        "Move it away or choose another data folder.",
    ),
    sqlite3.SQLITE_CONSTRAINT: (
        "the batch breaks a rule of the tables",
        "This is a defect of the program, and trying again will not help: please report it.",
    ),
}
_UNKNOWN = ("the store failed", "Look the reason up in SQLite's documentation.")

_PRIMARY_CODE = 0xFF  # an extended result code carries its primary code in the low byte


def store_error(folder: Path, error: sqlite3.Error) -> StoreError:
    """Return what an SQLite error means for the data folder, with the remedy."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    meaning, remedy = _MEANINGS.get(code & _PRIMARY_CODE, _UNKNOWN)
    return StoreError(f"{folder}: {meaning} ({error}). {remedy}")
