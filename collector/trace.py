"""A thermometer's recent curve in slices of a few seconds, and the piece that one law made."""

import math
from collections import deque

import msgspec
import numpy as np
from numpy.typing import NDArray

US_PER_S = 1_000_000

SLICE_US = 5 * US_PER_S
"""Shorter than a probe's lag: nothing of the wax is lost by taking means over it."""

MEMORY_US = 1200 * US_PER_S
"""Twenty minutes: about what a pitcher takes to cool from one window into the next."""

REACH = 4
"""A rate is taken over so many slices: 20 s, longer than most probes' lag."""

RECENT = 12
"""The rate that holds now is the middle one of so many: of the last minute."""

ABRUPT_SHARE = 0.4
"""A rate off by this share of what holds now is of another piece. Pan, bench and hand differ by
some hundredths, a plate or a bath by several times: from memory."""

ABRUPT_SIGMAS = 5.0
"""The same in errors of the rate, where the curve is too flat or too rough to tell shares."""

SURROUNDINGS_MDEGC = 22_000
"""Good enough for judging how the rate should change within minutes."""

LEAST_NOISE_MDEGC = 8.0
"""No mean of a slice is trusted further: a probe that counts sixteenths of a degree, shown at
rest, may be off by up to half a step, in a falling curve by about a tenth."""

Floats = NDArray[np.float64]


class Slice(msgspec.Struct, frozen=True):
    """The good readings of one slice of time: their number and sums; 0.001 °C, microseconds."""

    number: int
    count: int
    sum_us: int
    sum_mdegc: int

    def with_reading(self, taken_us: int, mdegc: int) -> "Slice":
        """Return the slice with one more reading."""
        return Slice(self.number, self.count + 1, self.sum_us + taken_us, self.sum_mdegc + mdegc)


class Curve(msgspec.Struct, frozen=True):
    """A curve as numbers: seconds before `at_us` (none above 0), 0.001 °C, readings in each."""

    at_us: int
    seconds: Floats
    mdegc: Floats
    counts: Floats

    def since(self, first: int) -> "Curve":
        """Return the curve from its point `first` on."""
        return Curve(self.at_us, self.seconds[first:], self.mdegc[first:], self.counts[first:])

    def before(self, seconds: float) -> "Curve":
        """Return the points that are older than `seconds` before its end."""
        last = int(np.searchsorted(self.seconds, -seconds))
        return Curve(self.at_us, self.seconds[:last], self.mdegc[:last], self.counts[:last])

    def thinned(self, points: int) -> "Curve":
        """Return at most so many points, means of equally many neighbors."""
        many = -(-len(self.seconds) // points)
        if many <= 1:
            return self
        starts = np.arange(len(self.seconds) % many, len(self.seconds), many)
        starts = starts if len(self.seconds) % many == 0 else np.concatenate(([0], starts))
        counts = np.add.reduceat(self.counts, starts)
        seconds = np.add.reduceat(self.seconds * self.counts, starts) / counts
        mdegc = np.add.reduceat(self.mdegc * self.counts, starts) / counts
        return Curve(self.at_us, seconds, mdegc, counts)


class Trace:
    """Keeps the slices of one channel's good readings. `feed` it in order of time."""

    def __init__(self) -> None:
        self._slices: deque[Slice] = deque()

    def feed(self, taken_us: int, mdegc: int) -> None:
        """Take one reading."""
        number = taken_us // SLICE_US
        if self._slices and self._slices[-1].number == number:
            self._slices[-1] = self._slices[-1].with_reading(taken_us, mdegc)
            return
        self._slices.append(Slice(number, 1, taken_us, mdegc))
        while self._slices[0].number < number - MEMORY_US // SLICE_US:
            self._slices.popleft()

    def closed_us(self, now_us: int) -> int:
        """Return until when the slices are over; what follows from them changes only then."""
        return now_us // SLICE_US * SLICE_US

    def mean(self, now_us: int) -> int | None:
        """Return the mean (0.001 °C) of the last minute's slices that are over."""
        last = [s for s in self._closed(now_us) if s.number >= now_us // SLICE_US - RECENT]
        count = sum(s.count for s in last)
        return sum(s.sum_mdegc for s in last) // count if count else None

    def readings_every(self, period_us: int, now_us: int) -> list[int]:
        """Return the latest readings (0.001 °C) in regular distance, without a gap.

        Each is the mean of the last slice of a period; the period is a multiple of a slice.
        """
        each = period_us // SLICE_US
        found: list[int] = []
        due = None
        for part in reversed(self._closed(now_us)):
            if part.number % each != each - 1:
                continue
            if due is not None and part.number != due:
                break
            found.append(part.sum_mdegc // part.count)
            due = part.number - each
        return found[::-1]

    def _closed(self, now_us: int) -> list[Slice]:
        closed = now_us // SLICE_US
        return [part for part in self._slices if part.number < closed]

    def curve(self, now_us: int, since_us: int | None = None) -> Curve:
        """Return the slices that are over, those that began before `since_us` left out."""
        at_us, done = self.closed_us(now_us), self._closed(now_us)
        if since_us is not None:
            done = [part for part in done if part.number * SLICE_US >= since_us]
        counts = np.array([s.count for s in done], dtype=np.float64)
        times = np.array([s.sum_us - at_us * s.count for s in done], dtype=np.float64)
        values = np.array([s.sum_mdegc for s in done], dtype=np.float64)
        return Curve(at_us, times / counts / US_PER_S, values / counts, counts)


def line(curve: Curve) -> tuple[float, float]:
    """Return the straight line through a curve: 0.001 °C per second, and 0.001 °C at its middle."""
    away = curve.seconds - curve.seconds.mean()
    return float(away @ curve.mdegc / (away @ away)), float(curve.mdegc.mean())


def noise_mdegc(curve: Curve) -> float:
    """Return how far the points of a curve lie beside it, by their second differences."""
    if len(curve.mdegc) < RECENT:
        return 2 * LEAST_NOISE_MDEGC
    squares = np.sort(np.diff(curve.mdegc, 2) ** 2)
    middle, high = squares[len(squares) // 2], squares[len(squares) * 4 // 5]
    # Of the square of a normal variable, in variances; a second difference has six of them. Where
    # a display's steps are coarse, most differences are 0 and only the high ones tell.
    variance = max(float(middle) / 0.455, float(high) / 1.642) / 6
    return max(LEAST_NOISE_MDEGC, math.sqrt(variance))


def latest_piece(curve: Curve) -> Curve:
    """Return the piece of a curve since the last disturbance.

    Fragrance or wax put in, a pitcher taken to a plate or off it, a probe that was in the air:
    the rate then is not what the present one lets expect.
    """
    if len(curve.mdegc) <= REACH:
        return curve
    spans = curve.seconds[REACH:] - curve.seconds[:-REACH]
    rates = (curve.mdegc[REACH:] - curve.mdegc[:-REACH]) / spans
    shares = np.maximum(curve.mdegc[REACH // 2 : -REACH // 2] - SURROUNDINGS_MDEGC, 1000.0)
    shares = shares / shares[-1]
    now = float(np.median(rates[-RECENT:] / shares[-RECENT:]))
    expected = now * shares if now < 0 else np.full_like(rates, now)
    error = noise_mdegc(curve) * np.sqrt(2) / spans
    allowed = np.maximum(ABRUPT_SHARE * np.abs(expected), ABRUPT_SIGMAS * error)
    abrupt = np.flatnonzero((np.abs(rates - expected) > allowed) | (spans > 4 * REACH * 5))
    return curve.since(int(abrupt[-1]) + REACH if len(abrupt) else 0)
