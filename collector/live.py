"""Bounded fan-out of what happens to the screens; a slow one never slows the bench."""

import asyncio
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from itertools import chain

import msgspec

from collector.alarms import Alarm
from collector.events import AnyEvent
from collector.guidance import BenchStatus
from collector.instrument_state import InstrumentState
from collector.readings import Channel, Reading

QUEUE = 1000
"""Notices that wait for one screen: at ten readings a second of four channels, 25 seconds. A
screen that lags further is let go and resumes from where it was."""

MOST = 16
"""Readings of one channel that are told one by one between two refreshes: a second and a half of a
scale at ten a second. More come only on a fast day, or at once from a bench that was cut off."""


class Shown(msgspec.Struct, frozen=True, gc=False):
    """A reading, and the channel that it belongs to.

    `shown` is what the instrument showed before its calibration, None where nobody knows any more.
    `skipped` is how many of the channel before it are not told.
    """

    channel: Channel
    reading: Reading
    shown: int | None = None
    skipped: int = 0


class Happened(msgspec.Struct, frozen=True):
    """An event that is on disk, by its number; `alarms` is what it made of alarms."""

    seq: int
    event: AnyEvent
    alarms: tuple[Alarm, ...] = ()


Notice = Shown | Happened | BenchStatus | InstrumentState | Alarm
"""An alarm by itself is one whose shelving ended by time, without an event."""


class Screen:
    """One subscriber."""

    def __init__(self) -> None:
        self._queue: asyncio.Queue[Notice] = asyncio.Queue(QUEUE)
        self.lagging = asyncio.Event()

    def offer(self, notice: Notice) -> None:
        """Hand over a notice, or let the screen go where it does not keep up."""
        try:
            self._queue.put_nowait(notice)
        except asyncio.QueueFull:
            self.lagging.set()

    async def notices(self, every_s: float) -> AsyncIterator[Notice | None]:
        """Give notices as they come, and None whenever there was none for `every_s`.

        Ends where the screen lags behind.
        """
        while not self.lagging.is_set():
            try:
                # Not wait_for: in Python 3.11 it swallows a request to stop that comes together
                # with a notice.
                async with asyncio.timeout(every_s):
                    notice = await self._queue.get()
            except TimeoutError:
                yield None
            else:
                yield notice


class Live:
    """All screens of the service."""

    def __init__(self) -> None:
        self._screens: set[Screen] = set()
        self._waiting: dict[str, list[Shown]] = {}

    @property
    def screens(self) -> int:
        """How many take part."""
        return len(self._screens)

    @contextmanager
    def screen(self) -> Iterator[Screen]:
        """Take part for as long as the context lasts."""
        screen = Screen()
        self._screens.add(screen)
        try:
            yield screen
        finally:
            self._screens.discard(screen)

    def tell(self, notice: Notice) -> None:
        """Tell every screen at once."""
        for screen in self._screens:
            screen.offer(notice)

    def show(self, shown: Shown) -> None:
        """Keep a reading until the next `refresh`, if anybody looks."""
        if self._screens:
            self._waiting.setdefault(shown.channel.name, []).append(shown)

    def refresh(self) -> None:
        """Tell the readings since the last time, in order of time.

        Of a channel that has too many of them only the latest.
        """
        waiting, self._waiting = self._waiting, {}
        due = chain.from_iterable(map(_told_of, waiting.values()))
        for shown in sorted(due, key=lambda shown: shown.reading.taken_us):
            self.tell(shown)


def _told_of(waiting: list[Shown]) -> list[Shown]:
    if len(waiting) <= MOST:
        return waiting
    return [msgspec.structs.replace(waiting[-1], skipped=len(waiting) - 1)]
