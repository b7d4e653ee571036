"""What the store does for itself now and then: seal, remove what is too old, give back space.

Lives in the writing thread, between commits.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import msgspec

from collector.service_events import ReadingsExpired
from collector.store.retention import Expiry
from collector.store.sealing import Sealed, Sealer
from collector.store.sqlite_errors import store_error

SPARE_PAGES = 2_048
"""Free pages that the file keeps: the rows of the next hours go there. Eight megabytes, a day of
eight instruments at 2 Hz."""

STEP_PAGES = 256
"""Pages given back at a time: each may have to be moved, a megabyte of writing at most."""


class Maintained(msgspec.Struct, frozen=True):
    """What one step of upkeep did, one of three things; false where there was nothing to do."""

    sealed: Sealed | None = None
    expired: ReadingsExpired | None = None
    returned_bytes: int = 0

    def __bool__(self) -> bool:
        """Whether anything was done, so that the next step may find more."""
        return self != Maintained()

    def __str__(self) -> str:
        """Say it in a line for the log."""
        if self.sealed is not None:
            return f"{self.sealed.readings} readings of {self.sealed.channel} sealed"
        if self.expired is not None:
            return f"{self.expired.readings} old readings removed"
        return f"{self.returned_bytes} bytes given back to the disk"


class Upkeep:
    """The steps, each short and a transaction of its own. All raise StoreError."""

    def __init__(
        self, folder: Path, connection: sqlite3.Connection, sealer: Sealer, expiry: Expiry
    ) -> None:
        self._folder = folder
        self._connection = connection
        self._sealer = sealer
        self._expiry = expiry

    def seal(self, now_us: int) -> Sealed | None:
        """Seal one block; None where none is due."""
        with self._sqlite_errors():
            return self._sealer.seal(now_us)

    def expire(self, now_us: int) -> ReadingsExpired | None:
        """Remove some readings that are not kept any longer; None where there are none."""
        with self._sqlite_errors():
            expired = self._expiry.expire(now_us)
        if expired is not None:
            self._sealer.try_again()
        return expired

    def give_back(self) -> int:
        """Shorten the file by some of what is free in it; return how many bytes.

        A file that was made before readings were sealed keeps its free pages: they are used again.
        """
        with self._sqlite_errors():
            if self._pragma("freelist_count") <= SPARE_PAGES:
                return 0
            before = self._pragma("page_count")
            self._connection.execute(f"PRAGMA incremental_vacuum({STEP_PAGES:d})").fetchall()
            return (before - self._pragma("page_count")) * self._pragma("page_size")

    @contextmanager
    def _sqlite_errors(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            raise store_error(self._folder, error) from error

    def _pragma(self, name: str) -> int:
        return int(self._connection.execute(f"PRAGMA {name}").fetchone()[0])
