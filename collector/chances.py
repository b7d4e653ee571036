"""How likely a mass is under an explanation: mixtures of a bell and of even stretches.

Costs are negative logarithms of densities per gram, so that explanations of one change that
expect it here and anywhere can be held against each other. What the shares and spreads of the
trade are is common practice, no source; the distributions are those of any textbook.
"""

import math
from collections.abc import Sequence

import msgspec

LEAST = 1e-12
"""No explanation is impossible: a person may do anything."""

MG_PER_G = 1000.0


class Bell(msgspec.Struct, frozen=True):
    """A share of cases that come near a mass: a normal distribution; 0.001 g."""

    share: float
    mean_mg: float
    sigma_mg: float

    def density(self, mass_mg: float) -> float:
        """Return the density at a mass, per gram."""
        z = (mass_mg - self.mean_mg) / self.sigma_mg
        peak = MG_PER_G / (self.sigma_mg * math.sqrt(2.0 * math.pi))
        return self.share * peak * math.exp(-0.5 * z * z)

    def beyond(self, mass_mg: float) -> float:
        """Return the chance of at least this mass."""
        z = (mass_mg - self.mean_mg) / (self.sigma_mg * math.sqrt(2.0))
        return self.share * 0.5 * math.erfc(z)


class Stretch(msgspec.Struct, frozen=True):
    """A share of cases that fall anywhere between two masses; 0.001 g."""

    share: float
    low_mg: float
    high_mg: float

    def density(self, mass_mg: float) -> float:
        """Return the density at a mass, per gram."""
        if not self.low_mg <= mass_mg <= self.high_mg:
            return 0.0
        return self.share * MG_PER_G / max(1.0, self.high_mg - self.low_mg)

    def beyond(self, mass_mg: float) -> float:
        """Return the chance of at least this mass."""
        width_mg = max(1.0, self.high_mg - self.low_mg)
        return self.share * min(1.0, max(0.0, (self.high_mg - mass_mg) / width_mg))


class Heavier(msgspec.Struct, frozen=True):
    """A share of cases that are the rarer the heavier; `mean_mg` is 0.001 g."""

    share: float
    mean_mg: float

    def density(self, mass_mg: float) -> float:
        """Return the density at a mass, per gram."""
        if mass_mg < 0:
            return 0.0
        return self.share * MG_PER_G / self.mean_mg * math.exp(-mass_mg / self.mean_mg)

    def beyond(self, mass_mg: float) -> float:
        """Return the chance of at least this mass."""
        return self.share * math.exp(-max(0.0, mass_mg) / self.mean_mg)


class About(msgspec.Struct, frozen=True):
    """A share of cases about some mass, half as much as likely as twice: a log-normal one.

    `spread` is the standard deviation of the mass's natural logarithm.
    """

    share: float
    median_mg: float
    spread: float

    def density(self, mass_mg: float) -> float:
        """Return the density at a mass, per gram."""
        if mass_mg <= 0:
            return 0.0
        z = math.log(mass_mg / self.median_mg) / self.spread
        peak = MG_PER_G / (mass_mg * self.spread * math.sqrt(2.0 * math.pi))
        return self.share * peak * math.exp(-0.5 * z * z)

    def beyond(self, mass_mg: float) -> float:
        """Return the chance of at least this mass."""
        if mass_mg <= 0:
            return self.share
        z = math.log(mass_mg / self.median_mg) / (self.spread * math.sqrt(2.0))
        return self.share * 0.5 * math.erfc(z)


Part = Bell | Stretch | Heavier | About
Mixture = Sequence[Part]


def cost_of(mixture: Mixture, mass_mg: float) -> float:
    """Return what it costs to say that a mass came out of a mixture."""
    return -math.log(max(LEAST, sum([part.density(mass_mg) for part in mixture])))


def cost_beyond(mixture: Mixture, mass_mg: float) -> float:
    """Return what it costs to say that a mass of which so much has come is out of a mixture."""
    return -math.log(max(LEAST, sum([part.beyond(mass_mg) for part in mixture])))


def least_beyond(mixture: Mixture) -> float:
    """Return the least that `cost_beyond` can be: that all of every part is still to come."""
    return -math.log(max(LEAST, sum(part.share for part in mixture)))
