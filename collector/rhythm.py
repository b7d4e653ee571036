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
    """The mean interval of the latest readings, in microseconds; 0 while it is not known."""

    def __init__(self) -> None:
        self._times: deque[int] = deque(maxlen=MEMORY)
        self.interval_us = 0

    def feed(self, taken_us: int) -> None:
        """Take the time of one reading; bursts and pauses even out."""
        times = self._times
        times.append(taken_us)
        if len(times) >= FEWEST:
            self.interval_us = (taken_us - times[0]) // (len(times) - 1)
