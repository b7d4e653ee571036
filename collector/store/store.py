"""The embedded store: what has been committed is on disk."""

import asyncio
import logging
import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import TypeVar

from collector.clock_steps import Move
from collector.errors import StoreError
from collector.events import AnyEvent
from collector.readings import Reading
from collector.retention import ALL_KEPT, Retention
from collector.store.consignments import Targets
from collector.store.folder_lock import FolderLock
from collector.store.ledger import Ledger
from collector.store.pictures import lay_down
from collector.store.sealing import USUAL, Sealing
from collector.store.upkeep import Maintained

_LOG = logging.getLogger(__name__)


T = TypeVar("T")


class Store:
    """The data folder of a running service, made with `Store.open`.

    One thread of its own does all writing, so that a slow disk never holds up the event loop.
    """

    def __init__(
        self, folder: Path, lock: FolderLock, thread: ThreadPoolExecutor, ledger: Ledger
    ) -> None:
        self.folder = folder
        self._lock = lock
        self._thread = thread
        self._ledger = ledger
        self._closed = False

    @classmethod
    def open(
        cls,
        folder: Path,
        targets: Targets = (),
        retention: Retention = ALL_KEPT,
        sealing: Sealing = USUAL,
    ) -> "Store":
        """Open the data folder for this process alone; make it where it is not there. Blocks.

        What is committed from now on also waits in an outbox for each of `targets`, with the
        readings of the channels that it is sent. `retention` says which readings `maintain`
        removes: none, unless told.

        Raises StoreError where another service uses it or its database cannot be used.
        """
        _make(folder)
        lock = FolderLock(folder)
        thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="store-writer")
        try:
            ledger = thread.submit(Ledger, folder, targets, retention, sealing).result()
        except BaseException:
            thread.shutdown()
            lock.release()
            raise
        _LOG.info("store in %s opened, SQLite %s", folder, sqlite3.sqlite_version)
        return cls(folder, lock, thread, ledger)

    async def commit(self, readings: Sequence[Reading], events: Sequence[AnyEvent]) -> list[int]:
        """Store the batch in one transaction and return the events' numbers, in their order.

        When this returns, all of it is synced to disk and every `History` sees it. A reading
        whose channel and time are stored already is left as it is.

        Raises StoreError, after which nothing of the batch is stored: keep it and commit it
        again. A caller that is cancelled while it waits cannot know which of the two happened.
        """
        self._refuse_closed()
        if not readings and not events:
            return []
        # Copies: the caller may go on filling its lists while the thread writes.
        batch = tuple(readings), tuple(events)
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._thread, self._ledger.commit, *batch)

    async def commit_step(
        self, readings: Sequence[Reading], events: Sequence[AnyEvent], moves: Mapping[str, Move]
    ) -> list[int]:
        """Do as `commit`, after moving stored readings in the same transaction, by channel.

        `readings` are of the old time, and move with them.

        Raises StoreError, after which nothing is stored or moved.
        """
        self._refuse_closed()
        loop = asyncio.get_running_loop()
        batch = tuple(readings), tuple(events), dict(moves)
        return await loop.run_in_executor(self._thread, self._ledger.commit_step, *batch)

    async def change(self, make: Callable[[sqlite3.Connection], T]) -> T:
        """Make a change on the writing thread, in a transaction of its own.

        Raises StoreError, after which nothing has changed.
        """
        self._refuse_closed()
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._thread, self._ledger.change, make)

    async def lay_down(self, picture: bytes) -> str:
        """Put a photograph's bytes on disk for the event that tells of them, and return its name.

        That is the SHA-256 in hex which the event carries. Commit the event before the store is
        closed: bytes that no event tells of are gone when it is opened again.

        Raises StoreError, after which nothing of them is kept.
        """
        return await self.change(partial(lay_down, body=picture))

    def sealed_until_us(self, channels: Iterable[str]) -> int:
        """Return when the last sealed reading of any of these channels was taken.

        UTC microseconds; far in the past where nothing of them is sealed. What is sealed stays
        at its time, whatever the clock turns out to have been.
        """
        return self._ledger.sealed_until_us(channels)

    async def maintain(self, now_us: int) -> Maintained:
        """Seal a block; where none is due, remove some old readings, or give back some space.

        Does only a little, so that commits get their turn: call it again soon where it did
        something, else every few seconds or minutes. `now_us` is UTC in microseconds.

        Raises StoreError; what was done before stays done.
        """
        self._refuse_closed()
        run, upkeep = asyncio.get_running_loop().run_in_executor, self._ledger.upkeep
        sealed = await run(self._thread, upkeep.seal, now_us)
        if sealed is not None or self._closed:
            return Maintained(sealed)  # what is old is removed by blocks, so all is sealed first
        expired = await run(self._thread, upkeep.expire, now_us)
        if expired is not None or self._closed:
            return Maintained(expired=expired)
        return Maintained(returned_bytes=await run(self._thread, upkeep.give_back))

    def _refuse_closed(self) -> None:
        if self._closed:
            raise StoreError(f"{self.folder}: this store is closed. Open it again to use it.")

    def close(self) -> None:
        """Finish the commits under way, close the file and give the folder free. Blocks."""
        if self._closed:
            return
        self._closed = True
        try:
            self._thread.submit(self._ledger.close).result()
        finally:
            self._thread.shutdown()
            self._lock.release()


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"{folder}: this data folder cannot be made ({error.strerror}). Choose another one"
            " or make it and give this account the right to write there."
        ) from error
