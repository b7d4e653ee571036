"""The division of a scale, told from its readings."""

from collections import deque
from itertools import pairwise

DIVISIONS_MG = (5000, 2000, 1000, 500, 200, 100)
"""Scale divisions that are told apart, coarsest first. OIML R 76: 1, 2 or 5 times a power of 10."""

MEMORY = 40
"""Readings that are looked at."""


class Division:
    """The division that the latest readings show; `mg` is 0 while none is known.

    All of them must fit it, and two that follow each other must differ by just that: round
    masses put on a fine scale fit a coarse division too, but do not tremble by it.
    """

    def __init__(self) -> None:
        self._recent: deque[int] = deque(maxlen=MEMORY)
        self._look_again = 0
        self.mg = 0

    def feed(self, value_mg: int) -> None:
        """Take one reading. One that does not fit shows at once, another division in time."""
        step_mg = abs(value_mg - self._recent[-1]) if self._recent else 0
        self._recent.append(value_mg)
        self._look_again -= 1
        unknown = not self.mg and step_mg in DIVISIONS_MG
        if unknown or self._look_again <= 0 or (self.mg and value_mg % self.mg):
            self._look_again = MEMORY // 2
            self.mg = self._coarsest()

    def _coarsest(self) -> int:
        steps = {abs(later - earlier) for earlier, later in pairwise(self._recent)}
        shown = (d for d in DIVISIONS_MG if d in steps)
        return next((d for d in shown if all(value % d == 0 for value in self._recent)), 0)
