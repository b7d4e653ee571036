"""How wax, fragrance and metal hold heat and lose it.

Masses are grams, temperatures °C, heat capacities J/K, conductances W/K, times seconds.
Wax gives off its heat of fusion over the range in which it sets, so that its curve flattens
there. A pitcher that cools by natural convection loses a little more than in proportion to what
it is warmer than the room.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

WAX_J_PER_GK = 2.3
"""Liquid wax. Encyclopedias give 2.14 to 2.9 J/(g K) for paraffin."""

FRAGRANCE_J_PER_GK = 2.0
"""Fragrance oil. From memory: most organic liquids lie between 1.7 and 2.3 J/(g K)."""

STEEL_J_PER_GK = 0.5
"""Stainless steel, as handbooks of materials give it."""

CONVECTION = 1.25
"""The power of the difference in temperature with which natural convection in air takes heat:
laminar flow along plates and cylinders, as handbooks of heat transfer give it (from memory)."""

USUAL_K = 50.0
"""The difference at which a conductance is stated where it grows with the difference."""


@dataclass(frozen=True)
class SettingRange:
    """Where a wax sets as it cools, °C, and the heat of fusion that it gives off meanwhile.

    Encyclopedias give 200 to 220 J/g for paraffin; vegetable waxes have less (from memory).
    """

    begins_degc: float
    ends_degc: float
    fusion_j_per_g: float = 200.0

    def after_losing(self, degc: float, j_per_g: float, sensible_j_per_gk: float) -> float:
        """Return the temperature of wax at `degc` that loses (or, below zero, gains) some heat.

        `sensible_j_per_gk` is the heat capacity outside the range, of the wax and of whatever
        shares its temperature, for each gram of wax.
        """
        return self._degc(self._held(degc, sensible_j_per_gk) - j_per_g, sensible_j_per_gk)

    def _held(self, degc: float, sensible: float) -> float:
        """Return the heat held above `ends_degc`, J/g."""
        melted = (degc - self.ends_degc) / (self.begins_degc - self.ends_degc)
        return sensible * (degc - self.ends_degc) + self.fusion_j_per_g * min(1.0, max(0.0, melted))

    def _degc(self, held: float, sensible: float) -> float:
        span_k = self.begins_degc - self.ends_degc
        whole = sensible * span_k + self.fusion_j_per_g
        if held <= 0.0:
            return self.ends_degc + held / sensible
        if held >= whole:
            return self.begins_degc + (held - whole) / sensible
        return self.ends_degc + span_k * held / whole


def convected(
    temperature_degc: float, surroundings_degc: float, rate_per_s: float, dt_s: float
) -> float:
    """Return the temperature after `dt_s` of natural convection.

    `rate_per_s` is conductance over heat capacity at a difference d of 50 K. With
    dd/dt = -k d^1.25 and k = rate / 50^0.25, d^-0.25 grows by k t / 4: solved exactly.
    """
    away_k = temperature_degc - surroundings_degc
    if not away_k:
        return temperature_degc
    extra = CONVECTION - 1.0
    k = rate_per_s / math.pow(USUAL_K, extra)
    left_k = math.pow(math.pow(abs(away_k), -extra) + extra * k * dt_s, -1.0 / extra)
    return surroundings_degc + math.copysign(left_k, away_k)


def cooled(
    temperature_degc: float, surroundings_degc: float, rate_per_s: float, dt_s: float
) -> float:
    """Return the temperature after `dt_s` under Newton's law of cooling.

    dT/dt = -rate (T - surroundings), solved exactly, so that the step's length does not matter.
    `rate_per_s` is conductance over heat capacity.
    """
    return surroundings_degc + (temperature_degc - surroundings_degc) * math.exp(-rate_per_s * dt_s)


def mixed(parts: Iterable[tuple[float, float]]) -> float:
    """Return the common temperature of parts given as (heat capacity, temperature).

    Enthalpy is kept: the mean of the temperatures, each weighted by its heat capacity.
    Raises ZeroDivisionError where there is nothing to mix.
    """
    capacity = 0.0
    enthalpy = 0.0
    for part_j_per_k, part_degc in parts:
        capacity += part_j_per_k
        enthalpy += part_j_per_k * part_degc
    return enthalpy / capacity
