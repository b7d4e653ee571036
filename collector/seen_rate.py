"""How many readings a second each channel gives, from counts that only grow."""

from collections import deque
from collections.abc import Mapping

SPAN_S = 20.0
"""Seconds that a rate is taken over: ten readings of a probe that is read every two."""

EVERY_S = 1.0


class SeenRate:
    """Looks at the counts now and then; costs nothing per reading."""

    def __init__(self) -> None:
        self._looks: deque[tuple[float, dict[str, int]]] = deque()

    def look(self, now_s: float, counts: Mapping[str, int]) -> None:
        """Take the counts of a time, seconds on a clock that never goes back."""
        if self._looks and now_s - self._looks[-1][0] < EVERY_S:
            return
        self._looks.append((now_s, dict(counts)))
        while len(self._looks) > 2 and now_s - self._looks[1][0] >= SPAN_S:
            self._looks.popleft()

    def per_second(self, channel: str) -> float | None:
        """Return the readings a second of a channel, None before anybody can tell."""
        if len(self._looks) < 2:
            return None
        (began_s, before), (ended_s, after) = self._looks[0], self._looks[-1]
        return (after.get(channel, 0) - before.get(channel, 0)) / (ended_s - began_s)
