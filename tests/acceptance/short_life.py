"""The service below HTTP as a process that is born quickly, for the test that kills it.

    python short_life.py REPORT SEED NUMBER

Loads everything, plays the tape of a simulated lot to itself, then forks one child for each
line of its input. A child is a real workshop on real files; it is given the tape's readings as
by a reader's thread, and reports on the descriptor REPORT, a line at a time:

    S STAGE NS          how far its start has come, when (monotonic)
    R NS CHANNEL TAKEN VALUE QUALITY    a reading that is being handed in
    E SEQ DIGEST        an event that a screen was shown
    G PLACE             what the maker did is in
    C NS / D NS READINGS EVENTS         a commit begins / has returned
    W TEXT, X TEXT      a warning of the log; a defect, which ends it
"""

import asyncio
import logging
import os
import sys
import threading
import time
import traceback
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from hashlib import sha256
from pathlib import Path
from unittest.mock import patch

import msgspec
from lot_on_tape import BENCH, Tape, config_of, tape_of

from collector.bench import Bench
from collector.errors import ConflictError
from collector.event_base import Event
from collector.events import AnyDerived, AnyEvent, AnyGiven, encode
from collector.live import Happened
from collector.lot_events import LotOpened, RecipeKept
from collector.pipeline import channels_at
from collector.readers.link import Sampled
from collector.readings import ROLE_QUANTITY, Reading, Sample
from collector.replay import replay
from collector.store.store import Store
from collector.workshop import Workshop

SPEED = 40.0
"""Times faster than life, so that a lot is over in some twenty seconds of short lives."""

LONGEST_S = 30.0


class LifePlan(msgspec.Struct, frozen=True):
    """One child: where it works, what time it is, and what of the tape comes next."""

    folder: str
    base_us: int
    next_given: int


class Clock:
    """The tape's time, on at `SPEED` from the moment that the child is born."""

    speed = SPEED

    def __init__(self, base_us: int) -> None:
        self._base_us = base_us
        self._born_ns = time.monotonic_ns()

    def now_us(self) -> int:
        """UTC, microseconds since 1970."""
        return self._base_us + int((time.monotonic_ns() - self._born_ns) / 1000 * SPEED)

    def sleep_s(self, until_us: int) -> float:
        """Return how many real seconds there are until a time."""
        return max(0.0, (until_us - self.now_us()) / 1e6 / SPEED)


class Report:
    """The way to the parent; a line is written whole or not at all (pipe(7), PIPE_BUF)."""

    def __init__(self, descriptor: int) -> None:
        self._descriptor = descriptor

    def __call__(self, *words: object) -> None:
        """Say a line."""
        line = " ".join(str(word) for word in words).replace("\n", " | ")
        os.write(self._descriptor, f"{line[:2000]}\n".encode())

    def stage(self, name: str) -> None:
        """Say how far the start has come."""
        self("S", name, time.monotonic_ns())


def digest(event: Event) -> str:
    """Return what an event is known by."""
    return sha256(encode(event)).hexdigest()[:16]


class _Warnings(logging.Handler):
    def __init__(self, report: Report) -> None:
        super().__init__(logging.WARNING)
        self._report = report

    def emit(self, record: logging.LogRecord) -> None:
        self._report("W", record.getMessage())


@contextmanager
def told(report: Report) -> Iterator[None]:
    """Say when commits begin and return, and when a replay does."""

    class ToldStore(Store):
        async def commit(
            self, readings: Sequence[Reading], events: Sequence[AnyEvent]
        ) -> list[int]:
            if not readings and not events:
                return []
            report("C", time.monotonic_ns())
            numbers = await super().commit(readings, events)
            report("D", time.monotonic_ns(), len(readings), len(events))
            return numbers

    def told_replay(
        events: Iterable[Event], readings: Iterable[Reading]
    ) -> tuple[Bench, list[AnyDerived]]:
        report.stage("replaying")
        found = replay(events, readings)
        report.stage("replayed")
        return found

    with (
        patch("collector.workshop.Store", ToldStore),
        patch("collector.workshop.replay", told_replay),
    ):
        yield


async def live(plan: LifePlan, tape: Tape, report: Report) -> None:
    """Be a workshop until killed."""
    clock = Clock(plan.base_us)
    report.stage("born")
    with told(report):
        async with Workshop(config_of(tape, Path(plan.folder)), clock) as workshop:
            report.stage("ready")
            reader = partial(hand_in, workshop, clock, tape, report)
            threading.Thread(target=reader, daemon=True).start()
            async with asyncio.TaskGroup() as tasks:
                tasks.create_task(look_on(workshop, report))
                tasks.create_task(do_by_hand(workshop, clock, tape, plan, report))
                await asyncio.wait([workshop.running], timeout=LONGEST_S)
            raise AssertionError("it should have been killed by now")


def hand_in(workshop: Workshop, clock: Clock, tape: Tape, report: Report) -> None:
    """Give the tape's readings from now on, each at its time, as a reader's thread does."""
    roles = {channel.name: channel.role for channel in tape.channels}
    places = {channel.name: place for place, channel in enumerate(tape.channels)}
    began_us = clock.now_us()
    for one in tape.readings:
        if one.taken_us < began_us:
            continue
        time.sleep(clock.sleep_s(one.taken_us))
        sample = Sample(ROLE_QUANTITY[roles[one.channel]], one.value, one.quality)
        what = (places[one.channel], one.taken_us, one.value, int(one.quality))
        report("R", time.monotonic_ns(), *what)
        workshop.pipeline.inbox.put(Sampled(one.channel, one.taken_us, sample))


async def look_on(workshop: Workshop, report: Report) -> None:
    """Be a screen."""
    with workshop.pipeline.live.screen() as screen:
        async for notice in screen.notices(1.0):
            if isinstance(notice, Happened):
                report("E", notice.seq, digest(notice.event))
    raise AssertionError("the screen lagged behind")


async def do_by_hand(
    workshop: Workshop, clock: Clock, tape: Tape, plan: LifePlan, report: Report
) -> None:
    """Do what the maker does, each at its time, what was not taken before the cut at once."""
    lot = f"{Path(plan.folder).name}-1"
    for place, given in enumerate(tape.givens[plan.next_given :], plan.next_given):
        await asyncio.sleep(clock.sleep_s(given.at_us))
        bench = None if isinstance(given, RecipeKept) else BENCH
        make = partial(_made, given, lot if bench else None, workshop)
        try:
            await workshop.pipeline.give(bench, make)
        except ConflictError:  # it was stored, and killed before it could say so
            report("W", f"{type(given).__name__} was in already")
        report("G", place)


def _made(given: AnyGiven, lot: str | None, workshop: Workshop, at_us: int) -> AnyGiven:
    if isinstance(given, LotOpened):
        channels = channels_at(workshop.config, BENCH)
        return msgspec.structs.replace(given, at_us=at_us, lot=lot, channels=channels)
    return msgspec.structs.replace(given, at_us=at_us, lot=lot)


def be_child(plan: LifePlan, tape: Tape, report: Report) -> None:
    """Live, report what goes wrong, and never return."""
    try:
        logging.getLogger().addHandler(_Warnings(report))
        asyncio.run(live(plan, tape, report))
    except BaseException:  # noqa: BLE001 - the parent is told, and fails
        report("X", traceback.format_exc()[-1900:])
    finally:
        os._exit(1)


def serve(say: Callable[[str], object], lines: Iterable[str], tape: Tape, report: Report) -> None:
    """Fork a child for each line, say its number, and wait for its end."""
    for line in lines:
        plan = msgspec.json.decode(line, type=LifePlan)
        child = os.fork()
        if child == 0:
            be_child(plan, tape, report)
        say(f"{child}\n")
        _pid, status = os.waitpid(child, 0)
        say(f"{os.waitstatus_to_exitcode(status)}\n")


if __name__ == "__main__":
    _descriptor, _seed, _number = (int(argument) for argument in sys.argv[1:])
    _tape = tape_of(_seed, _number)

    def _say(line: str) -> None:
        sys.stdout.write(line)
        sys.stdout.flush()

    _say(f"{_tape.end_us}\n")
    serve(_say, sys.stdin, _tape, Report(_descriptor))
