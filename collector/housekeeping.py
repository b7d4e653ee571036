"""Has the store seal and remove what is due, a little at a time between commits."""

import asyncio
import logging
from collections.abc import Callable

from collector.clock import Clock
from collector.errors import StoreError
from collector.store.store import Store

_LOG = logging.getLogger(__name__)

BREATH_S = 0.2
"""Between two steps while there is work: commits get their turn."""

PAUSE_S = 30.0
"""Where nothing was due, or the store refused."""


class Housekeeping:
    """Runs beside the pipeline and calls `Store.maintain` for ever."""

    name = "housekeeping"

    def __init__(
        self, store: Store, clock: Clock, is_time_sure: Callable[[], bool] = lambda: True
    ) -> None:
        self._store = store
        self._clock = clock
        self._is_time_sure = is_time_sure

    async def run(self) -> None:
        """Run until cancelled. A store that refuses is tried again: the pipeline says so aloud."""
        while True:
            done = await self._step()
            await asyncio.sleep(BREATH_S if done else PAUSE_S)

    async def _step(self) -> bool:
        if not self._is_time_sure():
            return False  # what is sealed keeps its time for good
        try:
            done = await self._store.maintain(self._clock.now_us())
        except StoreError as error:
            _LOG.warning("housekeeping waits: %s", error.message)
            return False
        if done:
            _LOG.info("store: %s", done)
        return bool(done)
