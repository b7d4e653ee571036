"""The law by which wax cools toward the room: Newton's, or a little steeper.

    dT/dt = -r ((T - A) / (T0 - A)) ** n

r is the rate at the temperature T0, A the surroundings. n = 1 is Newton's law of cooling
(OpenStax, Calculus Volume 2, section 2.8); n = 1.25 is free laminar convection, whose coefficient
goes with the fourth root of the difference (heat-transfer handbooks, from memory). Radiation
and the foot of the pitcher lie nearer to 1.
"""

import math

import msgspec
import numpy as np
from numpy.typing import NDArray

US_PER_S = 1_000_000

Floats = NDArray[np.float64]


class Cooling(msgspec.Struct, frozen=True):
    """One curve of the law: at `at_us` it is at `mdegc` and falls by `mdegc_per_s`."""

    at_us: int
    mdegc: float
    ambient_mdegc: int
    mdegc_per_s: float
    exponent: float = 1.0

    def us_until(self, mdegc: int) -> int | None:
        """Return how long after `at_us` the curve reaches a temperature; None where never."""
        if not self.ambient_mdegc < mdegc:
            return None
        if mdegc >= self.mdegc:
            return 0
        apart = self.mdegc - self.ambient_mdegc
        share = (mdegc - self.ambient_mdegc) / apart
        power = self.exponent - 1
        way = -math.log(share) if power == 0 else (share**-power - 1) / power
        return round(apart * way / self.mdegc_per_s * US_PER_S)


def straightened(share: Floats, exponent: Floats) -> Floats:
    """Return temperatures so bent that each law's curve is a straight line in time.

    `share` is (T - A) / (T0 - A), above 0; the last axis goes with the exponents. Of the result,
    0 at T0, each second takes away r / (T0 - A).
    """
    power = exponent - 1
    bent = (1 - share ** -np.where(power == 0, 1.0, power)) / np.where(power == 0, 1.0, power)
    return np.where(power == 0, np.log(share), bent)


def steepness(share: Floats, exponent: Floats) -> Floats:
    """Return how fast each law falls at a share of its difference; 1 at T0."""
    result: Floats = share**exponent
    return result
