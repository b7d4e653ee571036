"""Is a data folder sound? Everything that can be recomputed is recomputed and compared.

Only reads, so it works while the service runs.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Protocol

import msgspec

from collector.event_base import Event
from collector.events import AnyEvent
from collector.service_events import ReadingsLost
from collector.store.block_audit import BlockCounts, audit_blocks
from collector.store.database import FILE_NAME, reading_from
from collector.store.event_audit import EXPIRY_EVENTS, EvidenceAudit, Expiries, LotOrderAudit
from collector.store.faults import Fault
from collector.store.journal_audit import (
    ChainAudit,
    JournalRow,
    compare_columns,
    read_body,
    read_row,
)
from collector.store.picture_audit import audit_pictures
from collector.store.projection_audit import ProjectionAudit
from collector.store.queries import READING, VERIFYING, WRITING
from collector.store.schema_audit import audit_schema
from collector.store.transaction import snapshot


class Audit(Protocol):
    """Something that looks at every event in order and says what is wrong with it."""

    def check(self, seq: int, event: AnyEvent) -> Iterator[Fault]:
        """Give what is wrong with this event."""
        ...


def verify(folder: Path) -> list[Fault]:
    """Return everything that is wrong in a data folder; `faults_in` says what is looked at.

    Raises StoreError where there is no store that this version can read.
    """
    with reading_from(folder) as connection:
        return faults_in(connection)


def faults_in(connection: sqlite3.Connection) -> list[Fault]:
    """Return everything that is wrong in a store, the journal's faults first.

    The chain is recomputed link by link; the events are compared with their columns, their
    readings and their lots; the projections with a fresh fold of the journal; every block of
    sealed readings is decoded; the schema is compared with what the migrations make; at last
    SQLite checks its own file. Readings that the journal tells were removed, or lost
    on the way, are not missed.
    Memory grows with the number of lots and alarms, not of readings.
    """
    faults: list[Fault] = []
    for part in (_audit_journal, _audit_blocks, _audit_pictures, audit_schema, _audit_file):
        try:
            faults.extend(part(connection))
        except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
            faults.append(_damaged(error))
    return faults


def _damaged(error: Exception) -> Fault:
    return Fault(
        FILE_NAME,
        f"The file cannot be read to its end ({error}). Keep a copy of the folder and restore"
        " the last backup.",
    )


def _audit_journal(connection: sqlite3.Connection) -> list[Fault]:
    with snapshot(connection):  # the service may commit in the meantime
        return [*_walk(connection)]


def _audit_blocks(connection: sqlite3.Connection) -> list[Fault]:
    with snapshot(connection):
        return [*audit_blocks(connection)]


def _audit_pictures(connection: sqlite3.Connection) -> list[Fault]:
    with snapshot(connection):
        return [*audit_pictures(connection)]


def _walk(connection: sqlite3.Connection) -> Iterator[Fault]:
    chain = ChainAudit()
    with closing(ProjectionAudit(connection)) as projections:
        evidence = EvidenceAudit(
            BlockCounts(connection).count,
            Expiries(_of_kinds(connection, EXPIRY_EVENTS)),
            _losses(connection),
        )
        audits: list[Audit] = [evidence, LotOrderAudit(), projections]
        with closing(connection.execute(VERIFYING["journal"])) as rows:
            for columns in rows:
                row = JournalRow(*columns)
                yield from chain.check(row)
                yield from _check(row, audits)
        yield from chain.finish(connection.execute(WRITING["tip"]).fetchone())
        yield from projections.finish()


def _check(row: JournalRow, audits: list[Audit]) -> Iterator[Fault]:
    event = read_row(row)
    if isinstance(event, Fault):
        yield event
        return
    yield from compare_columns(row, event)
    for audit in audits:
        yield from audit.check(row.seq, event)


def _losses(connection: sqlite3.Connection) -> Iterator[ReadingsLost]:
    for event in _of_kinds(connection, (ReadingsLost,)):
        if isinstance(event, ReadingsLost):
            yield event


def _of_kinds(
    connection: sqlite3.Connection, wanted: tuple[type[Event], ...]
) -> Iterator[AnyEvent]:
    """Give the events of some kinds, in order; one that is damaged is told elsewhere."""
    names = [kind.__struct_config__.tag for kind in wanted]
    kinds = (msgspec.json.encode(names).decode(),)
    with closing(connection.execute(READING["kind_events"], kinds)) as rows:
        for _seq, body in rows:
            event = read_body(body)
            if not isinstance(event, str):
                yield event


def _audit_file(connection: sqlite3.Connection) -> list[Fault]:
    verdicts = connection.execute("PRAGMA integrity_check").fetchall()
    faults = [Fault(FILE_NAME, f"SQLite: {text}.") for (text,) in verdicts if text != "ok"]
    orphans = connection.execute("PRAGMA foreign_key_check").fetchall()
    for table, noun in (("reading", "readings"), ("block", "blocks")):
        count = sum(orphan[0] == table for orphan in orphans)
        if count:
            faults.append(Fault(f"table {table}", f"{count} {noun} belong to no channel."))
    return faults
