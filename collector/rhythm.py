"""How often an instrument speaks, told from its readings.

Readings are stamped as they arrive, and a busy machine takes several at once. The rhythm of the
instrument itself then says better how much time lies between them.
"""

from collections import deque

MEMORY = 50
"""Readings that are looked at: ten seconds of a scale that sends five times a second."""


class Rhythm:
    """The mean interval of the latest readings, in microseconds; 0 while it is not known."""

    def __init__(self) -> None:
        self._times: deque[int] = deque(maxlen=MEMORY)

    def feed(self, taken_us: int) -> None:
        """Take the time of one reading."""
        self._times.append(taken_us)

    @property
    def interval_us(self) -> int:
        """The mean time between two readings; bursts and pauses even out."""
        if len(self._times) < MEMORY // 2:
            return 0
        return (self._times[-1] - self._times[0]) // (len(self._times) - 1)
