"""A small store of known content, and a hand that gets past its triggers."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

from store_samples import (
    SCALE,
    START_US,
    alarm_raised,
    lot_closed,
    lot_opened,
    recipe_kept,
    scale_readings,
    weighing,
)

from api.command_line import main
from collector.events import AnyEvent
from collector.readings import Reading
from collector.store.ledger import Ledger

LAST = 6
"""The number of the last event that `lay` stores."""


def lay(folder: Path, readings: int = 0) -> Path:
    """Store a lot of six events and return the folder; more readings make a larger file."""
    folder.mkdir(parents=True, exist_ok=True)
    first, later = scale_readings(), scale_readings(START_US + 60_000)
    events: list[AnyEvent] = [recipe_kept(), lot_opened(), weighing(first), weighing(later)]
    events += [alarm_raised("a"), lot_closed()]
    ledger = Ledger(folder)
    ledger.commit(first + later, events)
    ledger.commit([Reading(SCALE, n, 180_000 + n % 50) for n in range(readings)], [])
    ledger.close()
    return folder


def tamper(file: Path, statement: str, values: Sequence[object] = ()) -> None:
    """Change a file as someone would who knows how to get past the triggers."""
    with closing(sqlite3.connect(file)) as connection, connection:
        triggers = connection.execute(
            "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute(statement, tuple(values))
        for _, sql in triggers:
            connection.execute(sql)


def dump(file: Path) -> list[str]:
    """Return a database as statements."""
    with closing(sqlite3.connect(file)) as connection:
        return list(connection.iterdump())


def pourkeep(*arguments: str | Path) -> int:
    """Run a command in this process and return its exit code."""
    return main([str(argument) for argument in arguments])
