"""Keeps the service's time: steady, and as true as the order of what is stored allows."""

from collections.abc import Iterable, Mapping

import msgspec

from collector.clock import CorrectableClock
from collector.clock_steps import LEAST_US, Move, StepWatch, Stretch, moves
from collector.display import duration
from collector.service_events import ClockFoundOff, ClockStepped


class Step(msgspec.Struct, frozen=True):
    """A step that can be followed: its event, and how the readings of each bench move."""

    stepped: ClockStepped
    moves: Mapping[str, Move]


class ClockState(msgspec.Struct, frozen=True):
    """How right the service's time is.

    It is known to be wrong by `known_us`, microseconds, 0 where it is right; `behind` says that
    the system's clock is before what was stored last, so that nobody knows the time.
    """

    off_us: int
    known_us: int
    behind: bool

    @property
    def sentence(self) -> str | None:
        """What is wrong with it, for a person; None where nothing is."""
        if self.behind:
            return (
                "The computer's clock is not set: it is before what was recorded last. Times are"
                " wrong until it has met the network."
            )
        if self.known_us:
            late = "behind" if self.known_us > 0 else "ahead"
            return (
                f"Recorded times are {duration(abs(self.known_us))} {late} of the computer's clock."
                " They are put right when no lot is open and their order allows it."
            )
        return None


class ClockKeeper:
    """Watches a clock for one run of the service; `stored_us` is what was stored last before.

    `benches` are those with readings that this clock has timed: others' do not move with it.
    The pipeline looks twice a second, tells when a lot ends, and follows a step that is `due`.
    """

    def __init__(self, clock: CorrectableClock, stored_us: int, benches: Iterable[str]) -> None:
        self._clock = clock
        self._watch = StepWatch(stored_us)
        since_us = clock.now_us()
        self._stretches = {bench: Stretch(stored_us, since_us) for bench in benches}
        self._told: dict[str, int | None] = {}

    @property
    def state(self) -> ClockState:
        """How right the time is."""
        return ClockState(self._clock.off_us(), self._watch.known_us, self._watch.behind)

    def look(self) -> None:
        """Look at the system's clock."""
        self._watch.look(self._clock.off_us(), self._clock.now_us())

    def closed(self, bench: str, at_us: int) -> None:
        """Take it that a lot ended: what it recorded stays as it is."""
        if bench in self._stretches:
            self._stretches[bench] = Stretch(at_us, at_us + 1)

    def due(self, latest_us: int, sealed_us: Mapping[str, int] | None = None) -> Step | None:
        """Return a step that can be followed now, while no lot is open; None if there is none.

        `latest_us` is the time of the last event, `sealed_us` by bench that of the last reading
        that is sealed: it stays where it is, so what moves comes after it.
        """
        by_us, now_us = self._watch.known_us, self._clock.now_us()
        if by_us == 0:
            return None
        stretches = {
            bench: stretch.after(sealed_us.get(bench, stretch.after_us) if sealed_us else 0)
            for bench, stretch in self._stretches.items()
        }
        possible = moves(by_us, now_us, latest_us, stretches)
        if possible is None:
            return None
        stepped = ClockStepped(
            at_us=now_us + by_us, bench=None, lot=None, by_us=by_us, since_us=now_us
        )
        return Step(stepped, possible)

    def follow(self, stepped: ClockStepped) -> None:
        """Move the service's time."""
        self._clock.adopt(stepped.by_us)
        self._watch.followed()
        fresh = Stretch(stepped.at_us, stepped.at_us + 1)
        self._stretches = dict.fromkeys(self._stretches, fresh)
        self._told.clear()

    def found_off(self, bench: str, lot: str, at_us: int) -> ClockFoundOff | None:
        """Return what an open lot has to be told of its times; None if it knows all of it."""
        off_us = None if self._watch.behind else self._watch.known_us
        told_us = self._told.get(lot, 0)
        if off_us == told_us:
            return None
        if off_us is not None and told_us is not None and abs(off_us - told_us) <= LEAST_US:
            return None
        self._told[lot] = off_us
        return ClockFoundOff(at_us=at_us, bench=bench, lot=lot, by_us=off_us)
