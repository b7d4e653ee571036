"""The recent curve of one temperature channel at a bench."""

from collections import deque

from collector.outlook import Outlook, look_ahead
from collector.plateau import EVERY_US
from collector.readings import Quality, Reading
from collector.trace import Trace

MEMORY_US = 3600 * 1_000_000
"""How much of the curve is kept at hand: what went in may be told late. The store has the rest."""

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
        self._trace = Trace()
        self._judged: tuple[tuple[int, int | None, int | None], Outlook] | None = None

    def feed(self, reading: Reading) -> None:
        """Take one reading; one that is not good is no temperature."""
        if reading.quality is not Quality.GOOD:
            return
        self._points.append((reading.taken_us, reading.value))
        self._trace.feed(reading.taken_us, reading.value)
        while self._points[0][0] < reading.taken_us - MEMORY_US:
            self._points.popleft()

    def at(self, at_us: int) -> int | None:
        """Return the temperature (0.001 °C) known at a time, None where there was none lately."""
        for taken_us, value in reversed(self._points):
            if taken_us <= at_us:
                return value if at_us - taken_us <= self._fresh_us else None
        return None

    def mean(self, now_us: int) -> int | None:
        """Return the mean (0.001 °C) of the last minute, None where there was none lately."""
        return None if self.at(now_us) is None else self._trace.mean(now_us)

    def outlook(
        self, now_us: int, room_mdegc: int | None, since_us: int | None = None
    ) -> Outlook | None:
        """Return what the curve since a time lets expect; None where nothing was heard lately.

        It follows from the slices of the curve that are over, whenever and however often it is
        asked for, and is worked out once for each.
        """
        if self.at(now_us) is None:
            return None
        key = (self._trace.closed_us(now_us), room_mdegc, since_us)
        if self._judged is None or self._judged[0] != key:
            quarters = self._trace.readings_every(EVERY_US, now_us)
            curve = self._trace.curve(now_us, since_us)
            self._judged = (key, look_ahead(curve, quarters, room_mdegc))
        return self._judged[1]
