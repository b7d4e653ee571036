"""A look at the disk now and then: low space is said before the store has to refuse."""

import asyncio
import logging
import os
from collections.abc import Callable
from pathlib import Path

from collector.disk_space import Space

EVERY_S = 30.0

SOON_S = 5.0
"""While space is low: somebody may be making room, and looks at the page to see whether it did."""

_LOG = logging.getLogger(__name__)


class SpaceWatch:
    """Runs beside the pipeline; `stored` tells how many readings were stored so far."""

    name = "disk space"

    def __init__(self, folder: Path, stored: Callable[[], int]) -> None:
        self.space: Space | None = None
        """The latest look, None before the first and where the disk cannot be looked at."""
        self.failed = False
        """Whether the latest look failed."""
        self.gone = False
        """Whether the record's file was not there at the latest look."""
        self._folder = folder
        self._stored = stored

    async def run(self) -> None:
        """Look until cancelled."""
        before, stored = asyncio.get_running_loop().time(), self._stored()
        while True:
            now_s, now_stored = asyncio.get_running_loop().time(), self._stored()
            rate_hz = (now_stored - stored) / (now_s - before) if now_s > before else 0.0
            before, stored = now_s, now_stored
            self._take(await asyncio.to_thread(look, self._folder, rate_hz))
            is_low = self.space is not None and self.space.low
            await asyncio.sleep(SOON_S if is_low else EVERY_S)

    def _take(self, space: Space | None) -> None:
        was_low = self.space is not None and self.space.low
        self.space, self.failed = space, space is None
        self.gone = space is None or space.store_bytes == 0
        if space is None or space.low == was_low:
            return
        if space.low:
            _LOG.warning("%s: %s", self._folder, space.sentence)
        else:
            _LOG.info("%s: there is room again. %s", self._folder, space.sentence)


def look(folder: Path, rate_hz: float) -> Space | None:
    """Return how the disk under a folder stands; None where that cannot be told. Blocks."""
    try:
        disk = os.statvfs(folder)
        store_bytes = sum(_size(file) for file in folder.glob("pourkeep.db*"))
    except OSError as error:  # a disk that was pulled out: the store says so itself
        _LOG.debug("%s: its space cannot be told (%s)", folder, error)
        return None
    return Space(disk.f_bavail * disk.f_frsize, store_bytes, rate_hz)


def _size(file: Path) -> int:
    try:
        return file.stat().st_size
    except FileNotFoundError:  # SQLite took its log away in between
        return 0
