"""How wax, fragrance and metal hold heat and lose it.

Masses are grams, temperatures °C, heat capacities J/K, conductances W/K, times seconds.
Wax is taken as liquid all the time: at the bench it is poured well above its melting point,
so the plateau of setting does not show.
"""

import math
from collections.abc import Iterable

WAX_J_PER_GK = 2.3
"""Liquid wax. Encyclopedias give 2.14 to 2.9 J/(g K) for paraffin."""

FRAGRANCE_J_PER_GK = 2.0
"""Fragrance oil. From memory: most organic liquids lie between 1.7 and 2.3 J/(g K)."""

STEEL_J_PER_GK = 0.5
"""Stainless steel, as handbooks of materials give it."""


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
