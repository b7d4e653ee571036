"""The division of a scale, told from its readings."""

from collections import deque
from itertools import pairwise

DIVISIONS_MG = (5000, 2000, 1000, 500, 200, 100)
"""Scale divisions that are told apart, coarsest first. OIML R 76: 1, 2 or 5 times a power of 10."""

MEMORY = 40
"""Readings that are looked at."""

MANY = 8
"""So many different masses that all fit a division show it: a fine scale would not stop there."""


class Division:
    """The division that the latest readings show; `mg` is 0 while none is known.

    All of them must fit it, and two that follow each other must differ by just that, or there
    must be many different ones, as while something is poured: round masses put on a fine scale
    fit a coarse division too, but do not tremble by it.
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
            self.mg = self._coarsest() or (0 if self._misfit() else self.mg)

    def _misfit(self) -> bool:
        return bool(self.mg) and any(value % self.mg for value in self._recent)

    def _coarsest(self) -> int:
        steps = {abs(later - earlier) for earlier, later in pairwise(self._recent)}
        masses = set(self._recent)
        fitting = (d for d in DIVISIONS_MG if all(value % d == 0 for value in masses))
        coarsest = next(fitting, 0)
        return coarsest if coarsest in steps or len(masses) >= MANY else 0
