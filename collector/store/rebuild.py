"""All that follows from the journal made afresh: dropped, and folded again event by event."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import msgspec

from collector.errors import StoreError
from collector.events import decode
from collector.store.database import open_writer, reading_from
from collector.store.folder_lock import FolderLock
from collector.store.journal_break import JournalBreak, first_break
from collector.store.ledger import project
from collector.store.migrations import migrate
from collector.store.projection_audit import PROJECTIONS, Projection, Row, rows_of
from collector.store.queries import VERIFYING
from collector.store.sqlite_errors import store_error
from collector.store.transaction import transaction

Rows = dict[Row, Row]


class JournalBrokenError(StoreError):
    """The journal is broken, so nothing can be made from it."""

    def __init__(self, found: JournalBreak) -> None:
        self.found = found
        super().__init__(f"{found.fault.place}: {found.fault.sentence}")


class TableRebuilt(msgspec.Struct, frozen=True):
    """What became of one table: how many rows there are, and what was wrong before.

    `unreadable` says that the old rows could not be read, so that nothing can be compared.
    """

    table: str
    rows: int
    missing: int = 0
    foreign: int = 0
    different: int = 0
    unreadable: bool = False

    @property
    def agreed(self) -> bool:
        """Whether it was right before."""
        return not (self.missing or self.foreign or self.different or self.unreadable)


def rebuild(folder: Path) -> list[TableRebuilt]:
    """Make every projection afresh from the journal, in one transaction.

    Raises JournalBrokenError where the journal itself is broken, StoreError where there is no
    store of this version, a service uses it, the file is damaged elsewhere or cannot be written.
    Nothing has changed then.
    """
    with reading_from(folder):
        pass  # a folder without a store gets no lock file
    lock = FolderLock(folder)
    try:
        _refuse_broken(folder)
        with closing(open_writer(folder)) as connection:
            return _rebuilt(folder, connection)
    finally:
        lock.release()


def _refuse_broken(folder: Path) -> None:
    with reading_from(folder) as connection:
        found = first_break(connection)
    if found is not None:
        raise JournalBrokenError(found)


def _rebuilt(folder: Path, connection: sqlite3.Connection) -> list[TableRebuilt]:
    try:
        with transaction(connection):
            before = [_readable_rows(connection, projection) for projection in PROJECTIONS]
            for statement in _statements(connection):
                connection.execute(statement)
            _fold(folder, connection)
            after = [rows_of(connection, projection) for projection in PROJECTIONS]
            _refuse_damaged(folder, connection)
    except sqlite3.Error as error:
        raise store_error(folder, error) from error
    return [
        _compared(projection, old, new)
        for projection, old, new in zip(PROJECTIONS, before, after, strict=True)
    ]


def _readable_rows(connection: sqlite3.Connection, projection: Projection) -> Rows | None:
    """Return the rows as they are; None where the table is not there or cannot be read."""
    try:
        return rows_of(connection, projection)
    except (sqlite3.DatabaseError, UnicodeDecodeError):
        return None


def _statements(connection: sqlite3.Connection) -> Iterator[str]:
    """Give what drops the projections with their indexes, and what makes them as migrated."""
    tables = [projection.table for projection in PROJECTIONS]
    names = msgspec.json.encode(tables).decode()
    present = {table for table, _sql in connection.execute(VERIFYING["parts_of"], [names])}
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        migrate(fresh, application_id=0)
        made = fresh.execute(VERIFYING["parts_of"], [names]).fetchall()
    yield from (f"DROP TABLE {table}" for table in tables if table in present)
    yield from (sql for _table, sql in made)


def _fold(folder: Path, connection: sqlite3.Connection) -> None:
    events = connection.execute(VERIFYING["journal"])
    with closing(events):
        for seq, _at_us, _bench, _lot, _kind, body, _chain in events:
            try:
                project(connection, seq, decode(body))
            except sqlite3.IntegrityError as error:
                raise StoreError(
                    f"{folder}: event {seq} contradicts the events before it ({error}), so"
                    " nothing was made afresh. Restore the last backup."
                ) from error


def _refuse_damaged(folder: Path, connection: sqlite3.Connection) -> None:
    """Writing into a file that is damaged elsewhere could make it worse: then all is undone."""
    verdicts = [text for (text,) in connection.execute("PRAGMA integrity_check").fetchall()]
    if verdicts != ["ok"]:
        raise StoreError(
            f"{folder}: more than what follows from the journal is damaged (SQLite:"
            f" {verdicts[0].splitlines()[0]}), so nothing was made afresh. Keep a copy of the"
            " folder and restore the last backup."
        )


def _compared(projection: Projection, old: Rows | None, new: Rows) -> TableRebuilt:
    if old is None:
        return TableRebuilt(projection.table, len(new), unreadable=True)
    return TableRebuilt(
        table=projection.table,
        rows=len(new),
        missing=len(new.keys() - old.keys()),
        foreign=len(old.keys() - new.keys()),
        different=sum(old[key] != new[key] for key in old.keys() & new.keys()),
    )
