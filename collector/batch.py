"""What is not on disk yet, in order: readings and events between a bench and the store."""

import asyncio
import logging
from collections.abc import Callable, Coroutine, Iterable, Mapping, Sequence
from typing import Any

import msgspec

from collector.clock_steps import Move
from collector.errors import StoreError
from collector.events import AnyEvent
from collector.readings import Reading
from collector.service_events import ClockStepped, ReadingsLost
from collector.store.store import Store
from collector.tally import Tally
from collector.trouble import Trouble

_LOG = logging.getLogger(__name__)

RETRY_S = 2.0
"""A store that refuses a batch is tried again after this."""

MOST_READINGS = 250_000
"""Readings that wait in memory while the store refuses: some 30 MB, and over four hours of eight
instruments at two readings a second."""

CHUNK = 5_000
"""Readings of one transaction; a store that refuses is not asked to take hours at once."""

SLICE = 1_000
"""Readings let go at once where memory is full: letting go of one at a time moves all others."""

Told = Callable[[Sequence[int], Sequence[AnyEvent]], None]
"""Takes events with their numbers once they are on disk."""


Committed = tuple[asyncio.Future[list[int]], asyncio.CancelledError | None]
"""A commit that is over, and the request to stop that came meanwhile."""


class StepTaken(msgspec.Struct, frozen=True):
    """A step of the clock that is to be stored, after all that was there before it.

    `moves` says by channel how the readings have to move, those here with those on disk.
    """

    readings: list[Reading]
    events: list[AnyEvent]
    moves: Mapping[str, Move]


class Batch:
    """Holds readings and events until they are on disk; a store that refuses costs nothing.

    Events are stored together with all readings before them, never ahead of them. While the
    store refuses, `MOST_READINGS` fit into memory; beyond that the oldest plain readings go, are
    counted and are told. Events stay, whatever happens.
    """

    def __init__(self, store: Store, told: Told) -> None:
        self.trouble: Trouble | None = None
        self.tally = Tally()
        self.latest_us = 0
        """The time of the latest event so far."""
        self.committing_since_s: float | None = None
        self._store = store
        self._told = told
        self._readings: list[Reading] = []
        self._events: list[AnyEvent] = []
        self._committing: list[AnyEvent] = []
        self._step: StepTaken | None = None
        self._lost: ReadingsLost | None = None
        self._writing = asyncio.Lock()

    # ------------------------------------------------------------ in

    def add(self, reading: Reading) -> None:
        """Take a reading."""
        self._readings.append(reading)
        if len(self._readings) > MOST_READINGS:
            self._make_room()

    def note(self, events: Iterable[AnyEvent]) -> None:
        """Take events; they come after the readings taken so far."""
        waiting = len(self._events)
        self._events += events
        for event in self._events[waiting:]:
            self.latest_us = max(self.latest_us, event.at_us)

    def step(self, stepped: ClockStepped, moves: Mapping[str, Move]) -> None:
        """Take a step of the clock, while the batch is `at_rest`.

        What was taken before moves with it, by channel, as the event is stored. What is taken
        from here on is of the new time.
        """
        self._step = StepTaken(self._readings, [*self._events, stepped], moves)
        self._readings, self._events = [], []
        self.latest_us = max(self.latest_us, stepped.at_us)

    @property
    def at_rest(self) -> bool:
        """Whether nothing is being written and nothing was refused."""
        return self.trouble is None and self._step is None and not self._writing.locked()

    @property
    def has_events(self) -> bool:
        """Whether events wait that nobody is writing yet."""
        return bool(self._events) or self.stepping

    @property
    def stepping(self) -> bool:
        """Whether a step of the clock is not on disk yet."""
        return self._step is not None

    @property
    def waiting(self) -> int:
        """How many readings are not on disk yet, apart from those of a commit under way."""
        return len(self._readings) + (len(self._step.readings) if self._step is not None else 0)

    @property
    def unwritten(self) -> tuple[AnyEvent, ...]:
        """Every event that is not on disk yet, in order."""
        step = self._step.events if self._step is not None else ()
        return (*step, *self._committing, *self._events)

    def sealed_until_us(self, channels: Iterable[str]) -> int:
        """Return when the last sealed reading of any of these channels was taken."""
        return self._store.sealed_until_us(channels)

    # ------------------------------------------------------------ out

    async def write(self) -> None:
        """Write all that waits. Raises StoreError, after which it still waits, and is trouble.

        Cancelled, it sees the commit under way through: one left alone may or may not have been
        stored.
        """
        async with self._writing:
            try:
                await self._write()
            except StoreError as error:
                self._refused(error)
                raise

    async def _write(self) -> None:
        if self._step is not None:
            await self._commit_step(self._step)
        while len(self._readings) > CHUNK:
            await self._commit(CHUNK, [])
        self._tell_loss()
        events, self._events = self._events, []
        await self._commit(len(self._readings), events)

    async def write_now(self) -> None:
        """Write all that waits; where the store refuses, say so, keep it and wait a while."""
        try:
            await self.write()
        except StoreError:  # told by `trouble`
            await asyncio.sleep(RETRY_S)

    async def _commit(self, count: int, events: list[AnyEvent]) -> None:
        readings, self._readings = self._readings[:count], self._readings[count:]
        self._committing = events
        commit, cancelled = await self._seen_through(
            self._store.commit(readings, events), anything=bool(readings or events)
        )
        self._committing = []
        if commit.exception() is not None:
            self._readings = readings + self._readings
            self._events = events + self._events
        else:
            self._kept(readings, events, commit.result())
        _raise(cancelled, commit)

    async def _commit_step(self, step: StepTaken) -> None:
        writing = self._store.commit_step(step.readings, step.events, step.moves)
        commit, cancelled = await self._seen_through(writing)
        if commit.exception() is None:
            self._step = None
            self._kept(step.readings, step.events, commit.result())
        _raise(cancelled, commit)

    async def _seen_through(
        self, writing: Coroutine[Any, Any, list[int]], *, anything: bool = True
    ) -> Committed:
        loop = asyncio.get_running_loop()
        began_s = self.committing_since_s = loop.time()
        commit = asyncio.ensure_future(writing)
        cancelled = await seen_through(commit)
        self.committing_since_s = None
        if commit.exception() is not None:
            self.tally.refused += 1
        elif anything:
            self.tally.took(began_s, loop.time())
        return commit, cancelled

    def _kept(
        self, readings: Sequence[Reading], events: Sequence[AnyEvent], numbers: Sequence[int]
    ) -> None:
        """Tell of what is on disk now."""
        self.trouble = None
        self.tally.kept(readings, events)
        self._told(numbers, events)

    # ------------------------------------------------------------ trouble

    def _refused(self, error: StoreError) -> None:
        before, now_s = self.trouble, asyncio.get_running_loop().time()
        if before is None or before.message != error.message:
            _LOG.error("%s", error.message)
        waiting = len(self._readings)
        self.trouble = Trouble(
            message=error.message,
            since_s=before.since_s if before is not None else now_s,
            waiting=waiting,
            room=MOST_READINGS - waiting,
            lost=self._lost.count if self._lost is not None else 0,
            rate_hz=_rate_hz(waiting, before, now_s),
        )

    def _make_room(self) -> None:
        """Let the oldest readings go where memory is at its bound."""
        gone, self._readings = self._readings[:SLICE], self._readings[SLICE:]
        if self._lost is None:
            _LOG.error("memory is full: the oldest readings that are not on disk are let go")
        self.tally.lost += len(gone)
        count = len(gone) + (self._lost.count if self._lost is not None else 0)
        times_us = [reading.taken_us for reading in gone]  # of several channels: not quite in order
        if self._lost is not None:
            times_us += [self._lost.from_us, self._lost.to_us]
        first_us, last_us = min(times_us), max(times_us)
        before_us = self._lost.at_us if self._lost is not None else self.latest_us
        # What came late may be of any time, also of one that is not yet.
        at_us = max((one.taken_us for one in gone if not one.late), default=before_us)
        self._lost = ReadingsLost(
            at_us=at_us, bench=None, lot=None, from_us=first_us, to_us=last_us, count=count
        )

    def _tell_loss(self) -> None:
        """Let the journal say what memory could not hold, once it can be written again."""
        if self._lost is not None:
            self._events.append(self._lost)
            self._lost = None


def _raise(cancelled: asyncio.CancelledError | None, commit: asyncio.Future[list[int]]) -> None:
    """Raise the request to stop, or why a commit failed; nothing where there is neither."""
    if cancelled is not None:
        raise cancelled
    commit.result()


def _rate_hz(waiting: int, before: Trouble | None, now_s: float) -> float:
    """Return how many readings a second have come since the store first refused."""
    if before is None or now_s <= before.since_s:
        return 0.0
    return waiting / (now_s - before.since_s)


async def seen_through(writing: asyncio.Future[Any]) -> asyncio.CancelledError | None:
    """Wait for a write to its end: one left alone may or may not have been stored.

    Returns the request to stop that came meanwhile.
    """
    cancelled = None
    while not writing.done():
        try:
            await asyncio.wait([writing])
        except asyncio.CancelledError as request:
            cancelled = request
    return cancelled
