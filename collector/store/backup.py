"""A consistent copy of a store while its service runs."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from collector.errors import BackupError
from collector.store.backup_file import BackupFacts, check_backup
from collector.store.database import FILE_NAME, reading_from
from collector.store.queries import READING
from collector.store.unfinished_file import UnfinishedFile, refuse_taken, telling

STEP_PAGES = 256
"""Pages between two syncs of the copy, 1 MiB: a commit of the service never waits for more than
that to reach the disk. Synced only once, 100 MB made a commit wait for up to 74 ms here, and would
for seconds on an SD card."""

_COPY_PRAGMAS = (
    "PRAGMA synchronous = OFF",  # synced here: a half-made copy is thrown away, never repaired
    "PRAGMA cache_size = -1024",  # KiB: what a step copied is written, not kept for later
)


def back_up(folder: Path, to: Path) -> BackupFacts:
    """Copy the store as of one moment into one file, check the copy, and give it its name.

    Everything that was committed before the call is in it. The one writer goes on: a reading
    transaction holds up no commit in a write-ahead log, only the moving of the log into the
    file. The name appears once the copy is whole, checked and synced.

    Raises StoreError where there is no store that this version can read, BackupError where the
    name is taken, the copy cannot be written, or it is not sound.
    """
    _refuse_place(to)
    with UnfinishedFile(to) as unfinished:
        with reading_from(folder) as source:
            # One reading transaction around all steps: without it a step that finds a new commit
            # begins the copy anew.
            source.execute("BEGIN")
            (seq,) = source.execute(READING["last_seq"]).fetchone()
            _copy(source, unfinished, to)
        facts = _checked(folder, unfinished.path, to)
        if facts.events < seq:
            raise BackupError(
                f"{to}: the copy ends with event {facts.events:,}, but the store had {seq:,} when"
                " it began. No backup was made: try again, and look after the disk."
            )
        unfinished.finish()
    return facts


def _refuse_place(to: Path) -> None:
    refuse_taken(to)
    if to.name.startswith(FILE_NAME):
        raise BackupError(f"{to}: a store's own files have such names. Choose another name.")
    with telling(to):
        has_folder = to.parent.is_dir()
    if not has_folder:
        raise BackupError(f"{to}: there is no folder {to.parent}. Make it or choose another one.")


def _copy(source: sqlite3.Connection, unfinished: UnfinishedFile, to: Path) -> None:
    try:
        with closing(sqlite3.connect(unfinished.path, isolation_level=None)) as copy:
            for pragma in _COPY_PRAGMAS:
                copy.execute(pragma)
            source.backup(copy, pages=STEP_PAGES, progress=lambda *_: unfinished.sync())
            # The write-ahead log's mark comes along; without it the copy is one file for good.
            copy.execute("PRAGMA journal_mode = DELETE").fetchall()
    except sqlite3.Error as error:
        raise BackupError(
            f"{to}: the copy could not be written ({error}), and nothing by this name was left."
            f" {_room(to)} See that the disk has room, or choose another one."
        ) from error


def _room(to: Path) -> str:
    free = os.statvfs(to.parent)
    return f"{free.f_bavail * free.f_frsize / 1e6:,.1f} MB are free there."


def _checked(folder: Path, path: Path, to: Path) -> BackupFacts:
    try:
        return check_backup(path)
    except BackupError as error:
        reason = error.message.removeprefix(f"{path}: ")
        raise BackupError(
            f"{to}: no backup was made, for the copy is not sound: {reason} Whether the store"
            f" itself is damaged, pourkeep verify --data {folder} tells."
        ) from error
