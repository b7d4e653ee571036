"""Is the schema what the migrations make? A dropped trigger would leave the journal unguarded."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing

from collector.store.faults import Fault
from collector.store.migrations import migrate
from collector.store.queries import VERIFYING


def audit_schema(connection: sqlite3.Connection) -> Iterator[Fault]:
    """Give each table, index or trigger that is missing, foreign or changed.

    Raises sqlite3.Error.
    """
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        migrate(fresh, application_id=0)
        expected = _parts(fresh)
    found = _parts(connection)
    for name in sorted({*expected, *found}):
        if name not in found:
            yield Fault(name, "This part of the database's schema is missing.")
        elif name not in expected:
            yield Fault(name, "This part of the database's schema is not ours.")
        elif found[name] != expected[name]:
            yield Fault(name, "This part of the database's schema was changed.")


def _parts(connection: sqlite3.Connection) -> dict[str, str]:
    rows: list[tuple[str, str]] = connection.execute(VERIFYING["schema"]).fetchall()
    return dict(rows)
