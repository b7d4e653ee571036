"""What is still to be sent to one target, and what the target refused."""

import asyncio
import logging
import sqlite3
from collections.abc import Iterable, Sequence

from collector.store.consignments import Consignment, Refusal, waiting
from collector.store.database import reading_from
from collector.store.queries import SENDING
from collector.store.store import Store

_LOG = logging.getLogger(__name__)

MOST_REFUSED = 10_000
"""Pieces set aside for each target; a schema that refuses everything must not fill the disk."""


class Outbox:
    """The commits that wait for one target, oldest first.

    A commit stays until `sent` is told that the target has it, over restarts of the service, so
    a target may get it twice and never loses it. All methods raise StoreError.
    """

    def __init__(self, store: Store, target: str) -> None:
        self._store = store
        self._target = target

    async def waiting(self, after: int, limit: int) -> list[Consignment]:
        """Return at most `limit` commits with a number above `after`, in order."""
        return await asyncio.to_thread(self._waiting, after, limit)

    async def sent(self, numbers: Sequence[int], refusals: Iterable[Refusal] = ()) -> None:
        """Forget commits that the target has, and set aside what it refused of them."""
        done = [(self._target, number) for number in numbers]
        aside = [(self._target, r.refused_us, r.reason, r.body) for r in refusals]

        def forget(connection: sqlite3.Connection) -> int:
            connection.executemany(SENDING["sent"], done)
            if not aside:
                return 0
            connection.executemany(SENDING["refuse"], aside)
            bounds = {"target": self._target, "most": MOST_REFUSED}
            return connection.execute(SENDING["trim_refused"], bounds).rowcount

        trimmed = await self._store.change(forget)
        if trimmed:
            _LOG.warning(
                "%d of what %s refused were let go, the oldest: no more than %d are set aside",
                trimmed,
                self._target,
                MOST_REFUSED,
            )

    async def depth(self) -> int:
        """Return how many commits wait."""
        return await asyncio.to_thread(self._count, "depth")

    async def refusals(self) -> int:
        """Return how many pieces are set aside."""
        return await asyncio.to_thread(self._count, "refusals")

    async def refused(self, limit: int) -> list[Refusal]:
        """Return what was refused, the newest first."""
        return await asyncio.to_thread(self._refused, limit)

    def _waiting(self, after: int, limit: int) -> list[Consignment]:
        with reading_from(self._store.folder) as connection:
            return waiting(connection, self._target, after, limit)

    def _count(self, query: str) -> int:
        with reading_from(self._store.folder) as connection:
            (count,) = connection.execute(SENDING[query], (self._target,)).fetchone()
        return int(count)

    def _refused(self, limit: int) -> list[Refusal]:
        with reading_from(self._store.folder) as connection:
            rows = connection.execute(SENDING["refused"], (self._target, limit)).fetchall()
        return [Refusal(*row) for row in rows]
