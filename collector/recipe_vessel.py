"""The [vessel] and [pitcher] of a recipe file."""

from collector.documents import Section
from collector.recipe_words import grams
from collector.recipes import PitcherSpec, VesselSpec, WaxSpec
from collector.units import Dimension


def read_vessel(section: Section, wax: WaxSpec) -> VesselSpec:
    """Return how much goes into each vessel: given in grams, or as a volume of the wax."""
    volume_ul = _volume_ul(section, wax)
    if volume_ul is None:
        fill_mg = section.positive("fill", Dimension.MASS)
    else:
        fill_mg = fill_of(volume_ul, wax.density_mg_per_ml or 0)
    tolerance_mg = section.positive("tolerance", Dimension.MASS)
    if tolerance_mg >= fill_mg:
        section.refuse(
            f"a tolerance of {grams(tolerance_mg)} allows an empty vessel:"
            f" it must be less than the fill, {grams(fill_mg)}",
            "tolerance",
        )
    return VesselSpec(fill_mg, tolerance_mg, volume_ul)


def fill_of(volume_ul: int, density_mg_per_ml: int) -> int:
    """Return the mass (0.001 g) of a volume (0.001 mL): their product, rounded half to even."""
    whole, rest = divmod(volume_ul * density_mg_per_ml, 1000)
    return whole + (rest > 500 or (rest == 500 and whole % 2 == 1))


def _volume_ul(section: Section, wax: WaxSpec) -> int | None:
    if not section.has("volume"):
        return None
    if section.has("fill"):
        section.refuse(
            "write either fill, in grams, or volume with the density of the wax, not both", "volume"
        )
    volume_ul = section.positive("volume", Dimension.VOLUME)
    if wax.density_mg_per_ml is None:
        section.refuse(
            "a volume says nothing of grams without the density of the wax:"
            ' write density = "0.87 g/mL" in [wax], or fill in grams here',
            "volume",
        )
    return volume_ul


def read_pitcher(section: Section, vessel: VesselSpec) -> PitcherSpec:
    """Return what a pitcher holds; it must hold one vessel and what stays on its wall."""
    residue_mg = section.quantity("residue", Dimension.MASS, "0 g")
    if not section.has("capacity"):
        return PitcherSpec(None, residue_mg)
    capacity_mg = section.positive("capacity", Dimension.MASS)
    needed_mg = vessel.fill_mg + residue_mg
    if capacity_mg < needed_mg:
        section.refuse(
            f"a pitcher of {grams(capacity_mg)} does not hold one vessel and its residue,"
            f" {grams(vessel.fill_mg)} + {grams(residue_mg)} = {grams(needed_mg)}",
            "capacity",
        )
    return PitcherSpec(capacity_mg, residue_mg)
