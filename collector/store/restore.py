"""A backup becomes the store of a data folder."""

import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from collector.errors import BackupError
from collector.store.backup_file import BackupFacts, check_backup
from collector.store.database import APPLICATION_ID, FILE_NAME, SCHEMA_VERSION
from collector.store.folder_lock import FolderLock
from collector.store.migrations import migrate
from collector.store.unfinished_file import SQLITE_ENDINGS, UnfinishedFile, sync_folder, telling


def restore(source: Path, folder: Path) -> BackupFacts:
    """Check a backup, then make it the store of a folder that has none.

    A backup of an earlier schema is brought up to date. Nothing is there until all of it is
    copied, checked once more and synced.

    Raises BackupError where the backup is damaged or the folder holds a store, StoreError where
    a service uses the folder.
    """
    _refuse_occupied(folder)
    check_backup(source)
    with telling(folder / FILE_NAME):
        folder.mkdir(parents=True, exist_ok=True)
        sync_folder(folder.absolute().parent)
    lock = FolderLock(folder)
    try:
        _refuse_occupied(folder)
        with UnfinishedFile(folder / FILE_NAME) as unfinished:
            _copy(source, unfinished)
            facts = check_backup(unfinished.path)
            unfinished.finish()
    finally:
        lock.release()
    return facts


def _refuse_occupied(folder: Path) -> None:
    for name in (FILE_NAME, *(FILE_NAME + ending for ending in SQLITE_ENDINGS)):
        if os.path.lexists(folder / name):
            raise BackupError(
                f"{folder}: there is a {name} here already, and it stays as it is. Restore into"
                " another folder, or move all of pourkeep.db* away first."
            )


def _copy(source: Path, unfinished: UnfinishedFile) -> None:
    with telling(unfinished.final):
        shutil.copyfile(source, unfinished.path)
    try:
        with closing(sqlite3.connect(unfinished.path, isolation_level=None)) as connection:
            _bring_up_to_date(connection)
    except sqlite3.Error as error:
        raise BackupError(
            f"{source}: this backup could not be brought up to date ({error}). Nothing was"
            " restored; see that the disk of the data folder has room."
        ) from error


def _bring_up_to_date(connection: sqlite3.Connection) -> None:
    connection.execute("PRAGMA journal_mode = DELETE").fetchall()  # a file copied by hand has a log
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if version < SCHEMA_VERSION:
        migrate(connection, APPLICATION_ID)
