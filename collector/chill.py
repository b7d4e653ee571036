"""How far wax cools when its fragrance, which has room temperature, goes in.

Enthalpy is kept: the wax, the pitcher's steel and the fragrance come to one temperature, so

    chill = F f (T - R) / (W w + S s + F f)

with the masses W, S, F, the heat capacities w, s, f, the wax at T and the fragrance at R.
"""

import msgspec

WAX_MJ_PER_GK = (2140, 2900)
"""Heat capacity of paraffin, 2.14 to 2.9 J/(g K): encyclopedias. Soy has no better figure."""

FRAGRANCE_MJ_PER_GK = (1700, 2300)
"""Most organic liquids, 1.7 to 2.3 J/(g K): from memory."""

STEEL_MJ_PER_GK = 500
"""Stainless steel, 0.50 J/(g K): handbooks of materials, from memory."""

USUAL_PITCHER_MG = 450_000
"""A steel pitcher for one to two liters, where no scale has shown it. Common practice, no
source."""


class Chill(msgspec.Struct, frozen=True):
    """The least and the most by which the wax may cool; 0.001 °C, a difference."""

    least_mdegc: int
    most_mdegc: int


def chill(
    wax_mg: int, fragrance_mg: int, pitcher_mg: int | None, wax_mdegc: int, room_mdegc: int
) -> Chill:
    """Return how far fragrance at `room_mdegc` cools wax at `wax_mdegc`; none where it is cooler.

    `pitcher_mg` is the empty pitcher's mass, None where it is not known.
    """
    apart = max(0, wax_mdegc - room_mdegc)
    steel = (pitcher_mg or USUAL_PITCHER_MG) * STEEL_MJ_PER_GK

    def cooled(wax_mj: int, fragrance_mj: int) -> int:
        taken = fragrance_mg * fragrance_mj
        return apart * taken // (wax_mg * wax_mj + steel + taken)

    return Chill(
        cooled(WAX_MJ_PER_GK[1], FRAGRANCE_MJ_PER_GK[0]),
        cooled(WAX_MJ_PER_GK[0], FRAGRANCE_MJ_PER_GK[1]),
    )
