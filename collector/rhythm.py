"""How often an instrument speaks, told from its readings.

Readings are stamped as they arrive, and a busy machine takes several at once. The rhythm of the
instrument itself then says better how much time lies between them.
"""

from collections import deque

MEMORY = 50
"""Readings that are looked at: ten seconds of a scale that sends five times a second."""

FEWEST = 25
"""A shorter stretch may be one burst."""


class Rhythm:
    """Follows the times of the readings."""

    def __init__(self) -> None:
        self._times: deque[int] = deque(maxlen=MEMORY)

    def feed(self, taken_us: int) -> None:
        """Take the time of one reading; bursts and pauses even out."""
        self._times.append(taken_us)

    @property
    def interval_us(self) -> int:
        """The mean interval of the latest readings, in microseconds; 0 while it is not known."""
        times = self._times
        return (times[-1] - times[0]) // (len(times) - 1) if len(times) >= FEWEST else 0
