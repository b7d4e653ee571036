"""How fast a temperature changes, from a minute of its own readings."""

from collections import deque
from fractions import Fraction

SPAN_US = 60_000_000
"""The piece of curve that is looked at: short against a pour, long against a reading's noise."""

LEAST_SPAN_US = 30_000_000
LEAST_POINTS = 5
"""A shorter piece tells the noise of the probe, not where the wax is going."""


class Rate:
    """The slope of a channel's last minute: least squares in whole numbers, so it is exact.

    With times t and values v of n points the slope is
    (n sum(t v) - sum(t) sum(v)) / (n sum(t t) - sum(t) sum(t)), NIST/SEMATECH e-Handbook 4.4.3.1
    for a straight line (from memory).
    """

    def __init__(self) -> None:
        self._points: deque[tuple[int, int]] = deque()
        self._origin_us: int | None = None
        self._sums = (0, 0, 0, 0)

    def feed(self, at_us: int, value: int) -> int | None:
        """Take a reading; return the change a minute in its resolution, None while unknown."""
        if self._origin_us is None:
            self._origin_us = at_us
        time = at_us - self._origin_us
        self._points.append((time, value))
        self._add(time, value, 1)
        while self._points[0][0] <= time - SPAN_US:
            self._add(*self._points.popleft(), -1)
        if len(self._points) < LEAST_POINTS or time - self._points[0][0] < LEAST_SPAN_US:
            return None
        return self._slope()

    def _add(self, time: int, value: int, sign: int) -> None:
        t, v, tt, tv = self._sums
        self._sums = (
            t + sign * time,
            v + sign * value,
            tt + sign * time * time,
            tv + sign * time * value,
        )

    def _slope(self) -> int:
        t, v, tt, tv = self._sums
        count = len(self._points)
        return round(Fraction((count * tv - t * v) * 60_000_000, count * tt - t * t))
