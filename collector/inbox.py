"""Where the readers' threads leave their reports for the pipeline."""

import asyncio
from collections import deque

from collector.readers.link import Report, Sampled

CAPACITY = 20_000
"""Samples that may wait: over two minutes of 16 instruments at 10 Hz while a disk hangs."""


class Inbox:
    """Takes reports from any thread, gives them to the event loop; drops the oldest samples."""

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self._loop = loop
        self._reports: deque[Report] = deque()
        self.arrived = asyncio.Event()
        self.dropped = 0

    def put(self, report: Report) -> None:
        """Leave a report; to be called from a reader's thread."""
        try:
            self._loop.call_soon_threadsafe(self._put, report)
        except RuntimeError:  # the loop is closed: the service is stopping
            self.dropped += 1

    def _put(self, report: Report) -> None:
        if len(self._reports) >= CAPACITY:
            oldest = next((r for r in self._reports if isinstance(r, Sampled)), None)
            if oldest is not None:
                self._reports.remove(oldest)
                self.dropped += 1
        self._reports.append(report)
        self.arrived.set()

    def take(self) -> list[Report]:
        """Take all reports that have arrived."""
        self.arrived.clear()
        taken, self._reports = list(self._reports), deque()
        return taken
