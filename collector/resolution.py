"""The resolution of a display, told from what it showed lately."""

from collections.abc import Iterable
from itertools import pairwise
from math import gcd

from collector.readings import Quantity

ENOUGH = 4
"""Different temperatures that must have been shown."""

COARSEST_MDEGC = 1_000
"""No thermometer shows less than whole degrees: what steps by more has jumped, not stepped."""

MANY = 8
"""So many different masses that all fit a division show it, as in `collector.division`."""

DIVISIONS = (5000, 2000, 1000, 500, 200, 100, 50, 20, 10, 5, 2, 1)
"""Scale divisions, coarsest first. OIML R 76, 3.2.1: 1, 2 or 5 times a power of ten."""


def resolution_of(values: Iterable[int], quantity: Quantity) -> int | None:
    """Return the smallest step of a display in 0.001 of its unit, from values that it showed.

    A scale's is the coarsest division that all of them fit; two must differ by just that, or
    there must be many, since round masses fit a coarse division too. A thermometer's is the
    smallest step between two of them: sixteenths of a degree are cut off to thousandths, and fit
    nothing. None where too little was shown to tell.
    """
    shown = sorted(set(values))
    step = min((later - earlier for earlier, later in pairwise(shown)), default=None)
    if step is None:
        return None
    if quantity is Quantity.MASS:
        common = gcd(*shown)
        division = next(each for each in DIVISIONS if common % each == 0)
        return division if step == division or len(shown) >= MANY else None
    return step if len(shown) >= ENOUGH and step <= COARSEST_MDEGC else None
