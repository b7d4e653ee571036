"""The recent curve of one temperature channel at a bench."""

from collections import deque

from collector.curves import Cooling, fit_cooling
from collector.readings import Quality, Reading

MEMORY_US = 600 * 1_000_000
"""How much of the curve is kept at hand; the store has the rest."""

FRESH_US = 10 * 1_000_000
"""An older temperature says nothing about a wax that is being worked with."""

TYPED_FRESH_US = 120 * 1_000_000
"""The same for a thermometer that a person reads and types in; wax in a pitcher cools by about a
degree in that time."""

ROOM_MDEGC = 22_000
"""Room temperature where no probe tells: the usual 20 to 24 °C. Common practice, no source."""


class Thermometer:
    """Keeps the last minutes of a channel's good readings; `fresh_us` is how long one counts."""

    def __init__(self, fresh_us: int = FRESH_US) -> None:
        self._fresh_us = fresh_us
        self._points: deque[tuple[int, int]] = deque()

    def feed(self, reading: Reading) -> None:
        """Take one reading; one that is not good is no temperature."""
        if reading.quality is not Quality.GOOD:
            return
        self._points.append((reading.taken_us, reading.value))
        while self._points[0][0] < reading.taken_us - MEMORY_US:
            self._points.popleft()

    def at(self, at_us: int) -> int | None:
        """Return the temperature (0.001 °C) known at a time, None where there was none lately."""
        for taken_us, value in reversed(self._points):
            if taken_us <= at_us:
                return value if at_us - taken_us <= self._fresh_us else None
        return None

    def cooling(self, now_us: int, ambient_mdegc: int) -> Cooling | None:
        """Fit the latest piece of the curve."""
        return fit_cooling(tuple(self._points), ambient_mdegc, now_us)
