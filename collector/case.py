"""What is known beside the scale when something happens on it."""

from enum import StrEnum

import msgspec

from collector.recipes import Recipe
from collector.targets import Targets

PROBE_MDEGC = 1_000
"""A probe and its place in the wax are off by so much. Common practice, no source."""

COLD_MDEGC = 4_000
"""So far below its pour window wax is not poured: the probe has not reached it yet."""


class Warmth(StrEnum):
    """Where the wax stands between the windows of the recipe."""

    HOT = "hot"  # above the fragrance's window
    ADD = "add"  # in it
    BETWEEN = "between"
    POUR = "pour"  # in the pour window, or about to be
    COLD = "cold"  # the probe is in the air, or in wax that is past its pour
    UNKNOWN = "unknown"


def warmth(recipe: Recipe, mdegc: int | None) -> Warmth:
    """Return where wax of a temperature (0.001 °C) stands between a recipe's windows."""
    add, pour = recipe.fragrance.add_between, recipe.pour_between
    if mdegc is None or add is None or pour is None or add.low_mdegc <= pour.high_mdegc:
        return Warmth.UNKNOWN
    if mdegc > add.high_mdegc + PROBE_MDEGC:
        return Warmth.HOT
    if mdegc >= add.low_mdegc - PROBE_MDEGC:
        return Warmth.ADD
    if mdegc > pour.high_mdegc + PROBE_MDEGC:
        return Warmth.BETWEEN
    return Warmth.POUR if mdegc >= pour.low_mdegc - COLD_MDEGC else Warmth.COLD


class Case(msgspec.Struct, frozen=True):
    """The lot's targets, how warm the wax is, and how its scale tells masses.

    `division_mg` is 0 while it is not known. A `typed` display comes from a person: it shows no
    motion, so nothing can be told from how abruptly it changed.
    """

    targets: Targets
    warmth: Warmth = Warmth.UNKNOWN
    division_mg: int = 0
    band_mg: int = 400
    typed: bool = False
