"""What the procedure expects to be poured next, and what a weighing should come to."""

from enum import IntEnum

import msgspec


class Stage(IntEnum):
    """What the procedure expects to be poured next."""

    WAX = 0
    FRAGRANCE = 1
    BLEND = 2  # fragrance is in; stir and wait
    POUR = 3


class Expectation(msgspec.Struct, frozen=True):
    """What a weighing should come to; 0.001 g."""

    target_mg: int
    tolerance_mg: int

    def met_by(self, mass_mg: int) -> bool:
        """Tell whether a mass is within the tolerance."""
        return abs(mass_mg - self.target_mg) <= self.tolerance_mg

    def share(self, mass_mg: int) -> float:
        """Return a mass as a share of the target."""
        return mass_mg / max(1, self.target_mg)
