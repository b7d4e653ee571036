"""What runs beside the pipeline: senders, receivers, upkeep. A failure leaves the rest alone."""

import asyncio
import logging
from collections.abc import Sequence
from typing import Protocol

_LOG = logging.getLogger(__name__)

FIRST_WAIT_S = 1.0
LAST_WAIT_S = 60.0
"""Waits before a companion that failed is started again double from the first to the last."""

STEADY_S = 300.0
"""One that ran for so long before it failed is started again as if it never had."""


class Companion(Protocol):
    """Something that runs for as long as the service and whose end is no reason to stop it."""

    @property
    def name(self) -> str:
        """What the log and the health page call it."""
        ...

    async def run(self) -> None:
        """Run until cancelled. What it expects to go wrong it handles itself."""
        ...


class Companions:
    """Runs companions, each supervised: a defect is logged, and it starts again after a while."""

    def __init__(self, companions: Sequence[Companion]) -> None:
        self._companions = companions
        self._tasks: list[asyncio.Task[None]] = []
        self._stopping = False
        self.failures: dict[str, str] = {}
        """By name, the defect of each one that waits to be started again."""

    def start(self) -> None:
        """Start them all."""
        self._tasks = [
            asyncio.create_task(self._supervise(one), name=f"companion-{one.name}")
            for one in self._companions
        ]

    async def stop(self) -> None:
        """Cancel them all and wait for their ends."""
        self._stopping = True
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        self._tasks = []

    async def _supervise(self, companion: Companion) -> None:
        """Run one for ever. The supervision point: nothing of a companion ends the service."""
        loop, wait_s = asyncio.get_running_loop(), FIRST_WAIT_S
        while not self._stopping:  # one that fails while it is cancelled is not started again
            began_s = loop.time()
            try:
                await companion.run()
                self.failures[companion.name] = "it ended"
                _LOG.error("%s ended by itself", companion.name)
            except Exception as error:  # noqa: BLE001 - the supervision point
                self.failures[companion.name] = repr(error)
                _LOG.exception("%s ran into a defect", companion.name)
            if loop.time() - began_s > STEADY_S:
                wait_s = FIRST_WAIT_S
            await asyncio.sleep(wait_s)
            self.failures.pop(companion.name, None)
            wait_s = min(2 * wait_s, LAST_WAIT_S)
