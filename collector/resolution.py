"""The resolution of a display, told from what it showed lately."""

from collections.abc import Iterable
from itertools import pairwise
from math import gcd

from collector.readings import Quantity

ENOUGH = 3
"""Different values that must have been shown."""

DIVISIONS = tuple(n * 10**power for power in range(4, -1, -1) for n in (5, 2, 1))
"""Scale divisions, coarsest first. OIML R 76, 3.2.1: 1, 2 or 5 times a power of ten."""


def resolution_of(values: Iterable[int], quantity: Quantity) -> int | None:
    """Return the smallest step of a display in 0.001 of its unit, from values that it showed.

    None where too little was shown to tell.

    A scale's is the coarsest division that all of them fit. A thermometer's is the smallest
    step between two of them: sixteenths of a degree are cut off to thousandths, and fit nothing.
    """
    shown = sorted(set(values))
    if len(shown) < ENOUGH:
        return None
    if quantity is Quantity.MASS:
        common = gcd(*shown)
        return next((division for division in DIVISIONS if common % division == 0), 1)
    return min(later - earlier for earlier, later in pairwise(shown))
