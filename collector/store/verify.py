"""Is a data folder sound? Everything that can be recomputed is recomputed and compared.

Only reads, so it works while the service runs.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Protocol

from collector.events import AnyEvent, Evidence
from collector.store.database import FILE_NAME, reading_from
from collector.store.event_audit import EvidenceAudit, LotOrderAudit
from collector.store.faults import Fault
from collector.store.journal_audit import ChainAudit, JournalRow, compare_columns, read_row
from collector.store.projection_audit import ProjectionAudit
from collector.store.queries import VERIFYING, WRITING
from collector.store.schema_audit import audit_schema


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
    readings and their lots; the projections with a fresh fold of the journal; the schema with
    what the migrations make; at last SQLite checks its own file. Memory grows with the number
    of lots and alarms, not of readings.
    """
    faults: list[Fault] = []
    for part in (_audit_journal, audit_schema, _audit_file):
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
    connection.execute("BEGIN")  # one snapshot: the service may commit in the meantime
    try:
        return [*_walk(connection)]
    finally:
        connection.execute("ROLLBACK")


def _walk(connection: sqlite3.Connection) -> Iterator[Fault]:
    chain = ChainAudit()
    with closing(ProjectionAudit(connection)) as projections:
        evidence = EvidenceAudit(lambda evidence: _count_readings(connection, evidence))
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


def _count_readings(connection: sqlite3.Connection, evidence: Evidence) -> int:
    span = (evidence.channel, evidence.from_us, evidence.to_us)
    (count,) = connection.execute(VERIFYING["count_readings"], span).fetchone()
    return int(count)


def _audit_file(connection: sqlite3.Connection) -> list[Fault]:
    verdicts = connection.execute("PRAGMA integrity_check").fetchall()
    faults = [Fault(FILE_NAME, f"SQLite: {text}.") for (text,) in verdicts if text != "ok"]
    orphans = connection.execute("PRAGMA foreign_key_check").fetchall()
    if orphans:
        faults.append(Fault("table reading", f"{len(orphans)} readings belong to no channel."))
    return faults
