"""The writing side of the store, in one thread: a batch becomes one transaction."""

import logging
import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from collector.clock_steps import Move
from collector.events import AnyEvent, encode
from collector.readings import Reading
from collector.retention import ALL_KEPT, Retention
from collector.store.chain import GENESIS, link
from collector.store.clock_correction import move_readings
from collector.store.consignments import Targets, consign
from collector.store.database import open_writer
from collector.store.pictures import follow, forget_untold
from collector.store.projections import change_by
from collector.store.queries import WRITING
from collector.store.records import stored_quality
from collector.store.retention import Expiry
from collector.store.sealed_times import SealedTimes
from collector.store.sealing import USUAL, Sealer, Sealing
from collector.store.sqlite_errors import store_error
from collector.store.transaction import transaction
from collector.store.upkeep import Upkeep

_LOG = logging.getLogger(__name__)

T = TypeVar("T")


class Ledger:
    """The one connection that writes; `targets` are where commits are also to be sent.

    What it remembers of the file it read there after a commit, so a failed one cannot leave it
    ahead of the file. Raises StoreError where the folder's database cannot be used.
    """

    def __init__(
        self,
        folder: Path,
        targets: Targets = (),
        retention: Retention = ALL_KEPT,
        sealing: Sealing = USUAL,
    ) -> None:
        self._folder = folder
        self._targets = dict(targets) if isinstance(targets, Mapping) else dict.fromkeys(targets)
        self.connection = open_writer(folder)
        try:
            self._sealed = SealedTimes(self.connection)
        except sqlite3.Error as error:
            self.connection.close()
            raise store_error(folder, error) from error
        self._forget_untold()
        sealer = Sealer(self.connection, self._sealed, sealing)
        expiry = Expiry(self.connection, self._sealed, retention, self._append)
        self.upkeep = Upkeep(folder, self.connection, sealer, expiry)

    def sealed_until_us(self, channels: Iterable[str]) -> int:
        """Return when the last sealed reading of any of these channels was taken; any thread."""
        return self._sealed.until_of(channels)

    def commit(self, readings: Sequence[Reading], events: Sequence[AnyEvent]) -> list[int]:
        """Store the batch in one transaction and return the events' numbers.

        Raises StoreError, after which nothing of the batch is stored.
        """
        return self.change(lambda _: self._commit(readings, events))

    def commit_step(
        self, readings: Sequence[Reading], events: Sequence[AnyEvent], moves: Mapping[str, Move]
    ) -> list[int]:
        """Move stored readings, then store the batch, all in one transaction.

        The readings of the batch are moved with them. Raises StoreError, after which nothing is
        stored or moved. Where a move breaks a rule of the tables, all stays under its old time
        and the step is stored: trying again would not help, and nothing else would be kept.
        """
        try:
            with transaction(self.connection):
                moved = move_readings(self.connection, readings, moves)
                return self._commit(moved, events)
        except sqlite3.IntegrityError as error:
            _LOG.error(
                "readings from before a step of the clock stay under their old times: moving them"
                " breaks a rule of the tables (%s). Please report it",
                error,
            )
            return self.commit(readings, events)
        except sqlite3.Error as error:
            raise store_error(self._folder, error) from error

    def change(self, make: Callable[[sqlite3.Connection], T]) -> T:
        """Make a change in a transaction of its own and return what it returns.

        Raises StoreError, after which nothing has changed.
        """
        try:
            with transaction(self.connection):
                return make(self.connection)
        except sqlite3.Error as error:
            raise store_error(self._folder, error) from error

    def _commit(self, readings: Sequence[Reading], events: Sequence[AnyEvent]) -> list[int]:
        self._add_readings(readings)
        numbers = self._append(events)
        for target, channels in self._targets.items():
            consign(self.connection, target, readings, numbers, channels)
        return numbers

    def close(self) -> None:
        """Close the file; SQLite moves what is left in the write-ahead log into it."""
        self.connection.close()

    def _forget_untold(self) -> None:
        """Forget pictures that no event tells of; a full disk is no reason not to start."""
        try:
            with transaction(self.connection):
                forgotten = forget_untold(self.connection)
        except sqlite3.Error as error:
            _LOG.warning("pictures that no lot shows stay until the next start: %s", error)
        else:
            if forgotten:
                _LOG.info("%d pictures that were never kept with a lot were dropped", forgotten)

    def _add_readings(self, readings: Sequence[Reading]) -> None:
        ids = self._channel_ids({reading.channel for reading in readings})
        rows = [(ids[r.channel], r.taken_us, r.value, stored_quality(r)) for r in readings]
        self.connection.executemany(WRITING["add_reading"], self._sealed.unsealed(rows))

    def _channel_ids(self, names: set[str]) -> dict[str, int]:
        ids: dict[str, int] = dict(self.connection.execute(WRITING["channel_ids"]).fetchall())
        new = sorted(names - ids.keys())
        if not new:
            return ids
        self.connection.executemany(WRITING["add_channel"], [(name,) for name in new])
        return self._channel_ids(names)

    def _append(self, events: Sequence[AnyEvent]) -> list[int]:
        if not events:
            return []
        tip: tuple[int, bytes] | None = self.connection.execute(WRITING["tip"]).fetchone()
        last, chain = tip or (0, GENESIS)
        for seq, event in enumerate(events, start=last + 1):
            chain = self._append_one(seq, event, chain)
        self.connection.execute(WRITING["move_tip"], (last + len(events), chain))
        return list(range(last + 1, last + len(events) + 1))

    def _append_one(self, seq: int, event: AnyEvent, previous: bytes) -> bytes:
        body = encode(event)
        chain = link(previous, body)
        kind = event.__struct_config__.tag
        row = (seq, event.at_us, event.bench, event.lot, kind, body, chain)
        self.connection.execute(WRITING["add_event"], row)
        project(self.connection, seq, event)
        follow(self.connection, event)
        return chain


def project(connection: sqlite3.Connection, seq: int, event: AnyEvent) -> None:
    """Make the change that an event means for the projections. Raises sqlite3.Error."""
    change = change_by(seq, event)
    if change is not None:
        connection.execute(WRITING[change.query], change.values)
