"""Do the projections follow from the journal? They are made afresh in memory and compared."""

import sqlite3
from collections.abc import Iterator

import msgspec

from collector.events import AnyEvent
from collector.store.faults import Fault, at_event
from collector.store.ledger import project
from collector.store.migrations import migrate
from collector.store.queries import VERIFYING

Row = tuple[str | int | None, ...]


class Projection(msgspec.Struct, frozen=True):
    """A table that follows from the journal: what a row is called, and how many columns name it."""

    table: str
    noun: str
    query: str
    key_columns: int


PROJECTIONS = (
    Projection("lot", "lot", "lot_projection", 1),
    Projection("kept_lot", "kept lot", "kept_projection", 1),
    Projection("recipe", "recipe", "recipe_projection", 1),
    Projection("photograph", "photograph of lot", "photograph_projection", 2),
    Projection("alarm_event", "event of alarm", "alarm_projection", 2),
)


class ProjectionAudit:
    """Folds the journal again and compares with what the store holds."""

    def __init__(self, stored: sqlite3.Connection) -> None:
        self._stored = stored
        self._fresh = sqlite3.connect(":memory:", isolation_level=None)
        migrate(self._fresh, application_id=0)

    def check(self, seq: int, event: AnyEvent) -> Iterator[Fault]:
        """Fold in one event; give a fault where that is impossible."""
        try:
            project(self._fresh, seq, event)
        except sqlite3.IntegrityError as error:
            yield at_event(seq, f"It contradicts the events before it: {error}.")

    def finish(self) -> Iterator[Fault]:
        """Give each row that is missing, too many or different."""
        for projection in PROJECTIONS:
            yield from self._compare(projection)

    def close(self) -> None:
        """Let go of the fresh tables."""
        self._fresh.close()

    def _compare(self, projection: Projection) -> Iterator[Fault]:
        fresh = rows_of(self._fresh, projection)
        stored = rows_of(self._stored, projection)
        for key in sorted({*fresh, *stored}):
            if fresh.get(key) != stored.get(key):
                place = f"{projection.noun} {' '.join(str(part) for part in key)}"
                yield Fault(place, _difference(fresh.get(key), stored.get(key)))


def rows_of(connection: sqlite3.Connection, projection: Projection) -> dict[Row, Row]:
    """Return a projection's rows by what names them. Raises sqlite3.Error."""
    rows: list[Row] = connection.execute(VERIFYING[projection.query]).fetchall()
    return {row[: projection.key_columns]: row for row in rows}


def _difference(fresh: Row | None, stored: Row | None) -> str:
    if stored is None:
        return "The journal tells of it, but it is missing from its table."
    if fresh is None:
        return "It is in its table, but the journal does not tell of it."
    return f"Its table says {stored}, but the journal amounts to {fresh}."
