"""Settled masses out of a stream of scale readings.

A `Settler` follows one scale. It says when the scale rests (a `Plateau`), how it got from one
plateau to the next (a `Step`), and what it does in between (a `Motion`).
"""

from collections import deque
from collections.abc import Collection
from enum import StrEnum

import msgspec

from collector.division import Division
from collector.readings import Quality, Reading
from collector.rhythm import Rhythm
from collector.runs import COARSE_MG, FEWEST_READINGS, Creep, Run, Stillness

SETTLE_US = 600_000
"""How long a scale must stay in its band to count as settled: a quick hand waits no longer before
it goes on. Common practice, no source."""

BAND_MG = 400
"""The least band within which a scale rests: a 0.1 g scale trembles by one or two divisions. A
coarser one rests within one division to either side."""

TYPED_REST_US = 60_000_000
"""A display that a person types has rested longer than any weighing asks for."""

ABRUPT_US = 600_000
"""Something put on the pan or taken off does most of its change within this time; wax that is
poured does not."""

ABRUPT_SHARE = 0.6
"""The share of a change that `ABRUPT_US` must hold for the change to be abrupt."""


class Plateau(msgspec.Struct, frozen=True, gc=False):
    """A scale at rest: its value (0.001 g), on which readings, and since when.

    The value is the mean of the last readings but the outermost, from `from_us` to `to_us`;
    `first` and `last` number them among all readings of the scale. `steady_us` is when the value
    came to where it is, `still_us` since when nothing has crept, however slowly.
    """

    value_mg: int
    from_us: int
    to_us: int
    first: int
    last: int
    steady_us: int
    still_us: int = 0

    def rested_us(self) -> int:
        """How long the value has stayed where it is."""
        return self.to_us - max(self.steady_us, self.still_us)


class Motion(msgspec.Struct, frozen=True):
    """A scale between two plateaus.

    `abrupt` is true where most of the change so far happened at once.
    """

    before: Plateau
    value_mg: int
    at_us: int
    index: int
    abrupt: bool

    @property
    def change_mg(self) -> int:
        """How far the scale has gone from the plateau it left."""
        return self.value_mg - self.before.value_mg

    @property
    def lasted_us(self) -> int:
        """How long ago the scale left its plateau."""
        return self.at_us - self.before.to_us


class Step(msgspec.Struct, frozen=True):
    """A scale that came to rest at another value than before."""

    before: Plateau
    after: Plateau
    abrupt: bool

    @property
    def change_mg(self) -> int:
        """The difference between the two plateaus."""
        return self.after.value_mg - self.before.value_mg


class Scale(StrEnum):
    """What a scale does right now."""

    UNKNOWN = "unknown"
    RESTING = "resting"
    MOVING = "moving"


class Pace:
    """The steepest rise and fall of one motion over `ABRUPT_US`."""

    def __init__(self, at_us: int, value_mg: int) -> None:
        self._points = deque([(at_us, value_mg)])
        self._rise_mg = 0
        self._fall_mg = 0

    def follow(self, at_us: int, value_mg: int) -> None:
        """Take the next value of the motion."""
        points = self._points
        while len(points) > 1 and points[0][0] < at_us - ABRUPT_US:
            points.popleft()
        self._rise_mg = max(self._rise_mg, value_mg - min(value for _, value in points))
        self._fall_mg = max(self._fall_mg, max(value for _, value in points) - value_mg)
        points.append((at_us, value_mg))

    def abrupt(self, change_mg: int) -> bool:
        """Tell whether a change of this size happened mostly at once."""
        steepest = self._rise_mg if change_mg > 0 else self._fall_mg
        return steepest >= abs(change_mg) * ABRUPT_SHARE


class Settler:
    """Follows the readings of one scale; `feed` them in order of time.

    What a scale itself says of its motion comes too late for that: some show a rest only after
    two seconds, and a hand that has tared does not wait so long.

    A `typed` scale has no lead: a person reads its display, and reads it once it rests. So each
    reading is a plateau of its own, long settled, and the display began at zero.
    """

    def __init__(self, *, typed: bool = False) -> None:
        self._typed = typed
        self._run = Run()
        self._pace: Pace | None = None  # of the motion going on
        self._rhythm = Rhythm()
        self._division = Division()
        self._creep = Creep()
        self._stillness = Stillness()
        self._index = 0
        self._anchor_mg = 0
        self._steady_us = 0
        self.resting = False
        self.plateau: Plateau | None = None
        self.division_mg = 0
        self.band_mg = BAND_MG

    @property
    def state(self) -> Scale:
        """Resting, moving, or not known yet."""
        if self.plateau is None:
            return Scale.UNKNOWN
        return Scale.RESTING if self.resting else Scale.MOVING

    def feed(self, reading: Reading) -> Step | Motion | None:
        """Take one reading; return a step just completed, the motion going on, or None at rest."""
        self._index += 1
        self._rhythm.feed(reading.taken_us)
        if reading.quality >= Quality.SUSPECT and _doubtful(reading):
            self._run.clear()
            self.resting = False
            return None
        if self._typed:
            return self._take_typed(reading)
        self._division.feed(reading.value)
        if self._division.mg != self.division_mg:
            self.division_mg = self._division.mg
            self.band_mg = max(BAND_MG, self.division_mg * 11 // 5)
        if self.division_mg >= COARSE_MG and self._creeps(reading):
            self._run.clear()
        self._run.append(reading.taken_us, reading.value, self.band_mg)
        return self._rest() if self._settled() else self._move(reading)

    def _take_typed(self, reading: Reading) -> Step | None:
        at_us, number, long_ago_us = reading.taken_us, self._index, reading.taken_us - TYPED_REST_US
        before = self.plateau or Plateau(0, at_us, at_us, number, number, long_ago_us)
        self.resting = True
        self.plateau = Plateau(reading.value, at_us, at_us, number, number, long_ago_us)
        changed = abs(reading.value - before.value_mg) > BAND_MG
        return Step(before, self.plateau, abrupt=False) if changed else None

    def _creeps(self, reading: Reading) -> bool:
        values = self._run.values
        return self._creep.feed(reading.taken_us, reading.value, values, self.division_mg)

    def _settled(self) -> bool:
        """Tell whether the run lasts: by its stamps, or by the scale's rhythm if it burst."""
        times = self._run.times
        if len(times) < FEWEST_READINGS:
            return False
        if times[-1] - times[0] >= SETTLE_US:
            return True
        return (len(times) - 1) * self._rhythm.interval_us >= SETTLE_US

    def _move(self, reading: Reading) -> Motion | None:
        self.resting = False
        self._stillness.begin()
        plateau = self.plateau
        if plateau is None:
            return None
        if self._pace is None:
            self._pace = Pace(plateau.to_us, plateau.value_mg)
        self._pace.follow(reading.taken_us, reading.value)
        abrupt = self._pace.abrupt(reading.value - plateau.value_mg)
        return Motion(plateau, reading.value, reading.taken_us, self._index, abrupt)

    def _rest(self) -> Step | None:
        run, before, pace = self._run, self.plateau, self._pace
        value, first_us = _steady_mean(run.values), run.times[0]
        moved = before is None or abs(value - before.value_mg) > self.band_mg
        if moved or not self.resting or abs(value - self._anchor_mg) > self.band_mg:
            self._anchor_mg, self._steady_us = value, first_us
        self.resting, self._pace = True, None
        still_us = self._stillness.feed(run, self.division_mg)
        first = self._index - len(run.times) + 1  # what is doubtful breaks a run: it has no gaps
        self.plateau = plateau = Plateau(
            value, first_us, run.times[-1], first, self._index, self._steady_us, still_us
        )
        if before is None or not moved:
            return None
        abrupt = pace is not None and pace.abrupt(value - before.value_mg)
        return Step(before, plateau, abrupt)


def _doubtful(reading: Reading) -> bool:
    """Tell whether a reading that is flagged says nothing about the load.

    What a scale flags under zero is as good as what it shows above: a tared load was lifted.
    """
    return reading.quality > Quality.SUSPECT or reading.value >= 0


def _steady_mean(values: Collection[int]) -> int:
    """Return the mean without the outer sixths: steadier than a median, deaf to a pour's end."""
    cut = len(values) // 6
    middle = sorted(values)[cut : len(values) - cut]
    return round(sum(middle) / len(middle))
