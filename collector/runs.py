"""The latest readings of a scale that may be at rest: those in one band, and whether they creep."""

from collections import deque
from collections.abc import Sequence
from itertools import pairwise

VALUE_US = 2_500_000
"""How far back the readings of a plateau's value go; longer would lag behind a trickle."""

FEWEST_READINGS = 3
"""Two readings can agree by chance; a scale that sends twice a second needs a second for three."""

COARSE_MG = 500
"""From this division on a band of some divisions hides what drips from a bottle."""

STILL_MG, STILL_DIVISION, STILL_SPREAD = 200, 1.05, 0.65
"""A display creeps if its latest mean goes further than this: 0.001 g, a share of its division, and
a share of how far it trembles."""

LATEST_US = 800_000
"""The latest mean is over so long, and over three readings at least."""

REVERSALS = 3
"""A display that went back this often while it rests trembles by itself."""


class Run:
    """The latest readings of a scale that lie within one band: their times and their values."""

    def __init__(self) -> None:
        self.times: deque[int] = deque()
        self.values: deque[int] = deque()
        self._low_mg = self._high_mg = 0  # no value is beyond these

    def clear(self) -> None:
        """Forget all of them."""
        self.times.clear()
        self.values.clear()

    def append(self, taken_us: int, value_mg: int, band_mg: int) -> None:
        """Take the next reading, and let go of what is too old or too far from it."""
        times, values = self.times, self.values
        times.append(taken_us)
        values.append(value_mg)
        while times[0] < taken_us - VALUE_US:
            times.popleft()
            values.popleft()
        if len(values) == 1:
            self._low_mg = self._high_mg = value_mg
        elif value_mg < self._low_mg:
            self._low_mg = value_mg
        elif value_mg > self._high_mg:
            self._high_mg = value_mg
        if self._high_mg - self._low_mg > band_mg:
            self._narrow(band_mg)

    def near(self, mass_mg: float, by_mg: int) -> bool:
        """Tell whether every value is surely within so much of a mass."""
        return self._high_mg - by_mg <= mass_mg <= self._low_mg + by_mg

    def _narrow(self, band_mg: int) -> None:
        low_mg, high_mg = min(self.values), max(self.values)
        while high_mg - low_mg > band_mg:
            self.times.popleft()
            self.values.popleft()
            low_mg, high_mg = min(self.values), max(self.values)
        self._low_mg, self._high_mg = low_mg, high_mg


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

        Only a coarse division, from `COARSE_MG` on, hides a stream. A display that trembles by a
        whole one to either side tells nothing about drops.
        """
        if self._restless or not values:
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

    def feed(self, run: Run, division_mg: int) -> int:
        """Take the readings of a resting scale; return since when it is still."""
        known = self._mean_mg
        if known is not None and run.near(known, STILL_MG):
            return self.since_us  # and so is their mean
        now_us = run.times[-1]
        latest = total_mg = 0
        for taken_us, value_mg in zip(reversed(run.times), reversed(run.values), strict=True):
            if latest >= FEWEST_READINGS and now_us - taken_us > LATEST_US:
                break
            latest += 1
            total_mg += value_mg
        mean = total_mg / latest
        if known is None:
            self.since_us, self._mean_mg = run.times[0], mean
        elif abs(mean - known) > STILL_MG and abs(mean - known) > max(
            STILL_DIVISION * division_mg, STILL_SPREAD * (max(run.values) - min(run.values))
        ):
            self.since_us, self._mean_mg = now_us, mean
        return self.since_us
