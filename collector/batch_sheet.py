"""The batch sheet: grams of wax and fragrance for each pitcher of a lot, and what puts it right.

All masses are integers of 0.001 g. Wax and fragrance of a mix are rounded so that they always
add up to it. With load f, mix M, wax W and fragrance F the formulas are

    load of wax     W = M / (1 + f)     F = f W
    load of total   F = f M             F = f / (1 - f) W for the wax really drawn

which follow from W + F = M; what counts as the load is common practice, no source.
"""

from fractions import Fraction

import msgspec

from collector.recipes import PPM, LoadOf, PitcherSpec, Recipe


class PitcherSheet(msgspec.Struct, frozen=True):
    """What goes into one pitcher, from 1, for its vessels and its residue; 0.001 g."""

    number: int
    vessels: int
    mix_mg: int
    wax_mg: int
    fragrance_mg: int


class Totals(msgspec.Struct, frozen=True):
    """The sums over a lot's pitchers; 0.001 g."""

    mix_mg: int
    wax_mg: int
    fragrance_mg: int


class BatchSheet(msgspec.Struct, frozen=True):
    """The computed grams of a lot."""

    vessels: int
    pitchers: tuple[PitcherSheet, ...]
    totals: Totals


class Correction(msgspec.Struct, frozen=True):
    """What to add so that the load is right again; 0.001 g, at most one is above zero."""

    add_wax_mg: int = 0
    add_fragrance_mg: int = 0


def batch_sheet(recipe: Recipe, vessels: int) -> BatchSheet:
    """Return the sheet of a lot: the fewest pitchers that hold it, filled as evenly as can be.

    Where vessels do not divide evenly, the first pitchers have one more. Raises ValueError for
    less than one vessel, or a pitcher that does not hold one.
    """
    counts = _vessels_by_pitcher(recipe.pitcher, recipe.vessel.fill_mg, vessels)
    pitchers = tuple(_pitcher(recipe, number, count) for number, count in enumerate(counts, 1))
    totals = Totals(
        sum(pitcher.mix_mg for pitcher in pitchers),
        sum(pitcher.wax_mg for pitcher in pitchers),
        sum(pitcher.fragrance_mg for pitcher in pitchers),
    )
    return BatchSheet(vessels, pitchers, totals)


def fragrance_for(recipe: Recipe, wax_mg: int) -> int:
    """Return the fragrance for the wax that was really drawn; 0.001 g, rounded half to even."""
    return round(wax_mg * _fragrance_per_wax(recipe))


def correction_for(recipe: Recipe, wax_mg: int, fragrance_mg: int) -> Correction:
    """Return what brings the load back to the recipe's; rounded half to even to 0.001 g.

    Too much fragrance asks for wax, too little for fragrance. Whether the pitcher still holds
    the wax, and the temperature still allows the fragrance, is not considered here.
    """
    missing_mg = fragrance_for(recipe, wax_mg) - fragrance_mg
    if missing_mg >= 0:
        return Correction(add_fragrance_mg=missing_mg)
    wanted_mg = round(fragrance_mg / _fragrance_per_wax(recipe))
    return Correction(add_wax_mg=wanted_mg - wax_mg)


def _vessels_by_pitcher(pitcher: PitcherSpec, fill_mg: int, vessels: int) -> list[int]:
    if vessels < 1:
        raise ValueError(f"a lot has at least one vessel, not {vessels}")
    held = vessels
    if pitcher.capacity_mg is not None:
        held = (pitcher.capacity_mg - pitcher.residue_mg) // fill_mg
    if held < 1:
        raise ValueError("the pitcher does not hold one vessel and its residue")
    pitchers = -(-vessels // held)
    each, more = divmod(vessels, pitchers)
    return [each + 1] * more + [each] * (pitchers - more)


def _pitcher(recipe: Recipe, number: int, vessels: int) -> PitcherSheet:
    mix_mg = vessels * recipe.vessel.fill_mg + recipe.pitcher.residue_mg
    load = _load(recipe)
    if recipe.fragrance.load_of is LoadOf.WAX:
        wax_mg = round(mix_mg / (1 + load))
        return PitcherSheet(number, vessels, mix_mg, wax_mg, mix_mg - wax_mg)
    fragrance_mg = round(mix_mg * load)
    return PitcherSheet(number, vessels, mix_mg, mix_mg - fragrance_mg, fragrance_mg)


def _load(recipe: Recipe) -> Fraction:
    return Fraction(recipe.fragrance.load_ppm, PPM)


def _fragrance_per_wax(recipe: Recipe) -> Fraction:
    load = _load(recipe)
    return load if recipe.fragrance.load_of is LoadOf.WAX else load / (1 - load)
