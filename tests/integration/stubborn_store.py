"""Stores that a test can hold up or make refuse: the real one behind a gate."""

import asyncio
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from collector.clock_steps import Move
from collector.errors import StoreError
from collector.events import AnyEvent
from collector.readings import Reading
from collector.store.folder_lock import FolderLock
from collector.store.ledger import Ledger
from collector.store.store import Store


class StubbornStore(Store):
    """Refuses while `refusing`, and holds each commit back until `gate` is open."""

    def __init__(
        self, folder: Path, lock: FolderLock, thread: ThreadPoolExecutor, ledger: Ledger
    ) -> None:
        super().__init__(folder, lock, thread, ledger)
        self.refusing = False
        self.asked = 0
        self.gate = asyncio.Event()
        self.gate.set()

    async def commit(self, readings: Sequence[Reading], events: Sequence[AnyEvent]) -> list[int]:
        """Commit, as far as the test allows."""
        await self._ask()
        return await super().commit(readings, events)

    async def commit_step(
        self, readings: Sequence[Reading], events: Sequence[AnyEvent], moves: Mapping[str, Move]
    ) -> list[int]:
        """Commit and move, as far as the test allows."""
        await self._ask()
        return await super().commit_step(readings, events, moves)

    async def _ask(self) -> None:
        self.asked += 1
        await self.gate.wait()
        if self.refusing:
            raise StoreError("the disk is full")
