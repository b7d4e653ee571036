"""Settled masses out of a stream of scale readings.

A `Settler` follows one scale. It says when the scale rests (a `Plateau`), how it got from one
plateau to the next (a `Step`), and what it does in between (a `Motion`).
"""

from collections import deque
from collections.abc import Iterable, Sequence
from enum import StrEnum
from itertools import islice, pairwise

import msgspec

from collector.division import Division
from collector.readings import Quality, Reading
from collector.rhythm import Rhythm

SETTLE_US = 600_000
"""How long a scale must stay in its band to count as settled: a quick hand waits no longer before
it goes on. Common practice, no source."""

VALUE_US = 2_500_000
"""How far back the readings of a plateau's value go; longer would lag behind a trickle."""

FEWEST_READINGS = 3
"""Two readings can agree by chance; a scale that sends twice a second needs a second for three."""

BAND_MG = 400
"""The least band within which a scale rests: a 0.1 g scale trembles by one or two divisions. A
coarser one rests within one division to either side."""

COARSE_MG = 500
"""From this division on a band of some divisions hides what drips from a bottle."""

STILL_MG, STILL_DIVISION, STILL_SPREAD = 200, 1.05, 0.65
"""A display creeps if its latest mean goes further than this: 0.001 g, a share of its division, and
a share of how far it trembles."""

LATEST_US = 800_000
"""The latest mean is over so long, and over three readings at least."""

REVERSALS = 3
"""A display that went back this often while it rests trembles by itself."""

TYPED_REST_US = 60_000_000
"""A display that a person types has rested longer than any weighing asks for."""

ABRUPT_US = 600_000
"""Something put on the pan or taken off does most of its change within this time; wax that is
poured does not."""

ABRUPT_SHARE = 0.6
"""The share of a change that `ABRUPT_US` must hold for the change to be abrupt."""


Run = deque[tuple[int, int]]
"""Readings of a scale at rest: when each was taken, and its number."""


class Plateau(msgspec.Struct, frozen=True):
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


class Creep:
    """Tells a slow stream on a coarse scale from a tremble: it only ever goes one way.

    Within the band of a scale of whole grams, drops take seconds to show.
    """

    def __init__(self) -> None:
        self._at_us = 0
        self._upward = False
        self._restless = False

    def feed(self, at_us: int, value_mg: int, values: Sequence[int], division_mg: int) -> bool:
        """Take the next value; tell whether it goes on beyond `values`, in the same direction.

        A display that trembles by a whole division to either side tells nothing about drops.
        """
        if division_mg < COARSE_MG or self._restless or not values:
            return False
        low_mg, high_mg = min(values), max(values)
        if low_mg <= value_mg <= high_mg:
            return False
        upward = value_mg > values[-1]
        back = sum((a > b) if upward else (a < b) for a, b in pairwise(values))
        if back:
            self._restless = back >= REVERSALS and high_mg - low_mg >= 2 * division_mg
            return False
        again = upward is self._upward and at_us - self._at_us <= VALUE_US
        self._at_us, self._upward = at_us, upward
        return again


class Stillness:
    """Tells since when a resting display has not crept.

    The last drops of a slow stream stay within the band of a scale at rest.
    """

    def __init__(self) -> None:
        self._mean_mg: float | None = None
        self.since_us = 0

    def begin(self) -> None:
        """Forget what was: the scale moves."""
        self._mean_mg = None

    def feed(self, run: Run, values: deque[int], division_mg: int) -> int:
        """Take the readings of a resting scale; return since when it is still."""
        now_us = run[-1][0]
        latest = 0
        for taken_us, _ in reversed(run):
            if latest >= FEWEST_READINGS and now_us - taken_us > LATEST_US:
                break
            latest += 1
        mean = sum(islice(reversed(values), latest)) / latest
        known = self._mean_mg
        if known is None:
            self.since_us, self._mean_mg = run[0][0], mean
        elif abs(mean - known) > STILL_MG and abs(mean - known) > max(
            STILL_DIVISION * division_mg, STILL_SPREAD * (max(values) - min(values))
        ):
            self.since_us, self._mean_mg = now_us, mean
        return self.since_us


class Settler:
    """Follows the readings of one scale; `feed` them in order of time.

    What a scale itself says of its motion comes too late for that: some show a rest only after
    two seconds, and a hand that has tared does not wait so long.

    A `typed` scale has no lead: a person reads its display, and reads it once it rests. So each
    reading is a plateau of its own, long settled, and the display began at zero.
    """

    def __init__(self, *, typed: bool = False) -> None:
        self._typed = typed
        self._run: deque[tuple[int, int]] = deque()  # (taken_us, index) of readings in band
        self._values: deque[int] = deque()  # their values, 0.001 g
        self._pace = Pace(0, 0)
        self._rhythm = Rhythm()
        self._division = Division()
        self._creep = Creep()
        self._stillness = Stillness()
        self._index = 0
        self._anchor_mg = 0
        self._steady_us = 0
        self._resting = False
        self.plateau: Plateau | None = None

    @property
    def state(self) -> Scale:
        """Resting, moving, or not known yet."""
        if self.plateau is None:
            return Scale.UNKNOWN
        return Scale.RESTING if self._resting else Scale.MOVING

    @property
    def band_mg(self) -> int:
        """The band within which this scale rests, from the division its readings show."""
        return max(BAND_MG, self._division.mg * 11 // 5)

    @property
    def division_mg(self) -> int:
        """The division that this scale shows; 0 while it is not known."""
        return self._division.mg

    def feed(self, reading: Reading) -> Step | Motion | None:
        """Take one reading; return a step just completed, the motion going on, or None at rest."""
        self._index += 1
        self._rhythm.feed(reading.taken_us)
        if _doubtful(reading):
            self._break_run()
            self._resting = False
            return None
        if self._typed:
            return self._take_typed(reading)
        self._division.feed(reading.value)
        self._extend_run(reading)
        return self._judge(reading)

    def _take_typed(self, reading: Reading) -> Step | None:
        at_us, number, long_ago_us = reading.taken_us, self._index, reading.taken_us - TYPED_REST_US
        before = self.plateau or Plateau(0, at_us, at_us, number, number, long_ago_us)
        self._resting = True
        self.plateau = Plateau(reading.value, at_us, at_us, number, number, long_ago_us)
        changed = abs(reading.value - before.value_mg) > BAND_MG
        return Step(before, self.plateau, abrupt=False) if changed else None

    def _extend_run(self, reading: Reading) -> None:
        run, values, band = self._run, self._values, self.band_mg
        if self._creep.feed(reading.taken_us, reading.value, values, self._division.mg):
            self._break_run()
        run.append((reading.taken_us, self._index))
        values.append(reading.value)
        oldest_us = reading.taken_us - VALUE_US
        while run[0][0] < oldest_us or max(values) - min(values) > band:
            run.popleft()
            values.popleft()

    def _break_run(self) -> None:
        self._run.clear()
        self._values.clear()

    def _run_us(self) -> int:
        """Return how long the run lasts: by its stamps, or by the scale's rhythm if it burst."""
        stamped_us = self._run[-1][0] - self._run[0][0]
        return max(stamped_us, (len(self._run) - 1) * self._rhythm.interval_us)

    def _judge(self, reading: Reading) -> Step | Motion | None:
        settled = len(self._run) >= FEWEST_READINGS and self._run_us() >= SETTLE_US
        if settled:
            return self._rest()
        self._resting = False
        self._stillness.begin()
        if self.plateau is None:
            return None
        self._pace.follow(reading.taken_us, reading.value)
        change = reading.value - self.plateau.value_mg
        return Motion(
            self.plateau, reading.value, reading.taken_us, self._index, self._pace.abrupt(change)
        )

    def _rest(self) -> Step | None:
        value = _steady_mean(self._values)
        first_us, first = self._run[0]
        last_us, last = self._run[-1]
        before = self.plateau
        moved = before is None or abs(value - before.value_mg) > self.band_mg
        if moved or not self._resting or abs(value - self._anchor_mg) > self.band_mg:
            self._anchor_mg, self._steady_us = value, first_us
        step_was_abrupt = self._pace.abrupt(value - before.value_mg) if before else False
        self._resting = True
        self._pace = Pace(last_us, value)
        still_us = self._stillness.feed(self._run, self._values, self._division.mg)
        self.plateau = Plateau(value, first_us, last_us, first, last, self._steady_us, still_us)
        return Step(before, self.plateau, step_was_abrupt) if moved and before else None


def _doubtful(reading: Reading) -> bool:
    """Tell whether a reading says nothing about the load.

    What a scale flags under zero is as good as what it shows above: a tared load was lifted.
    """
    under_zero = reading.quality is Quality.SUSPECT and reading.value < 0
    return reading.quality >= Quality.SUSPECT and not under_zero


def _steady_mean(values: Iterable[int]) -> int:
    """Return the mean without the outer sixths: steadier than a median, deaf to a pour's end."""
    ordered = sorted(values)
    cut = len(ordered) // 6
    middle = ordered[cut : len(ordered) - cut]
    return round(sum(middle) / len(middle))
