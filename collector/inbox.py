"""Where the readers' threads leave their reports for the pipeline."""

import asyncio
import threading
from collections import deque

from collector.readers.link import Report, Sampled

CAPACITY = 20_000
"""Samples that may wait: over two minutes of 16 instruments at 10 Hz while a disk hangs."""


class Inbox:
    """Takes reports from any thread, gives them to the event loop; drops the oldest samples.

    The loop is woken once for all that arrives until it looks: a wake-up costs more than what
    a report does to the bench.
    """

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self._loop = loop
        self._lock = threading.Lock()
        self._reports: deque[Report] = deque()
        self._woken = False
        self.arrived = asyncio.Event()
        self.dropped = 0

    def put(self, report: Report) -> None:
        """Leave a report; to be called from a reader's thread."""
        with self._lock:
            if len(self._reports) >= CAPACITY:
                self._make_room()
            self._reports.append(report)
            woken, self._woken = self._woken, True
        if not woken:
            self._wake()

    def _make_room(self) -> None:
        oldest = next((r for r in self._reports if isinstance(r, Sampled)), None)
        if oldest is not None:
            self._reports.remove(oldest)
            self.dropped += 1

    def _wake(self) -> None:
        try:
            self._loop.call_soon_threadsafe(self.arrived.set)
        except RuntimeError:  # the loop is closed: the service is stopping
            self.dropped += 1

    def take(self) -> list[Report]:
        """Take all reports that have arrived."""
        with self._lock:
            self._woken = False
            self.arrived.clear()
            taken, self._reports = list(self._reports), deque()
        return taken
