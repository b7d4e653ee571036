"""Where the journal breaks first: what a person is told before all else."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing

import msgspec

from collector.store.faults import Fault, at_event
from collector.store.journal_audit import ChainAudit, JournalRow, read_row
from collector.store.queries import READING, VERIFYING, WRITING


class Place(msgspec.Struct, frozen=True):
    """An event as its columns tell of it; `at_us` is UTC in microseconds."""

    seq: int
    at_us: int
    kind: str
    lot: str | None


class JournalBreak(msgspec.Struct, frozen=True):
    """The first event that cannot be relied on.

    `last` is the number of the last event that the store knows of. `sound` is the event before
    the break, `broken` the one at it; None where there is none, or none that can be read.
    `chained` is False where the chain holds and only the event's text cannot be read.
    `fault.seq` is None where all events are linked, but the store remembers another last one.
    """

    fault: Fault
    last: int
    sound: Place | None
    broken: Place | None
    chained: bool

    @property
    def seq(self) -> int:
        """The number of the first event that cannot be relied on."""
        return self.last if self.fault.seq is None else self.fault.seq


def first_break(connection: sqlite3.Connection) -> JournalBreak | None:
    """Return where the journal breaks first, None where it is whole.

    A file that cannot be read any further is a break too.
    """
    walk = _Walk(connection)
    try:
        fault = next(walk.faults(), None)
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        after = walk.sound.seq + 1 if walk.sound else 1
        fault = at_event(after, f"The file cannot be read here ({error}).")
    if fault is None:
        return None
    return JournalBreak(fault, _last(connection, walk), walk.sound, walk.broken, walk.chained)


class _Walk:
    """Goes along the journal until the first fault, and knows how far it came."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self.sound: Place | None = None
        self.broken: Place | None = None
        self.chained = True

    def faults(self) -> Iterator[Fault]:
        """Give the first fault. Raises sqlite3.Error."""
        chain = ChainAudit()
        with closing(self._connection.execute(VERIFYING["journal"])) as rows:
            for columns in rows:
                row = JournalRow(*columns)
                self.broken = Place(row.seq, row.at_us, row.kind, row.lot)
                yield from chain.check(row)
                event = read_row(row)
                if isinstance(event, Fault):
                    self.chained = False
                    yield event
                self.sound, self.broken = self.broken, None
        yield from chain.finish(self._connection.execute(WRITING["tip"]).fetchone())


def _last(connection: sqlite3.Connection, walk: _Walk) -> int:
    """Return the last event's number, as far as the file still tells it."""
    numbers = [place.seq for place in (walk.sound, walk.broken) if place]
    for query in (WRITING["tip"], READING["last_seq"]):
        try:
            row = connection.execute(query).fetchone()
        except (
            sqlite3.DatabaseError,
            UnicodeDecodeError,
        ):  # the fault is named already; this is only its size
            continue
        numbers += [row[0]] if row else []
    return max(numbers, default=0)
