"""Worked examples by hand; the formulas follow from wax + fragrance = mix."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.batch_sheet import (
    BatchSheet,
    Correction,
    PitcherSheet,
    Totals,
    batch_sheet,
    correction_for,
    fragrance_for,
)
from collector.recipes import (
    FragranceSpec,
    LoadOf,
    PitcherSpec,
    Recipe,
    VesselSpec,
    WaxSpec,
)

PITCHER = PitcherSpec(capacity_mg=1_500_000, residue_mg=6_000)


def recipe_of(
    load_ppm: int = 80_000,
    load_of: LoadOf = LoadOf.WAX,
    fill_mg: int = 220_000,
    pitcher: PitcherSpec = PITCHER,
) -> Recipe:
    return Recipe(
        name="Reed bank",
        vessel=VesselSpec(fill_mg, 2_000),
        wax=WaxSpec("soy blend"),
        fragrance=FragranceSpec("reed", load_ppm, load_of),
        pitcher=pitcher,
    )


OF_TOTAL = recipe_of(load_of=LoadOf.TOTAL)

recipes = st.builds(
    recipe_of,
    load_ppm=st.integers(1, 300_000),
    load_of=st.sampled_from(LoadOf),
    fill_mg=st.integers(1_000, 1_000_000),
    pitcher=st.builds(PitcherSpec, st.integers(1_050_000, 9_000_000), st.integers(0, 50_000)),
)
masses = st.integers(0, 50_000_000)


def test_six_vessels_with_eight_percent_of_the_wax() -> None:
    # mix = 6 x 220 + 6 = 1326 g; wax = 1326 / 1.08 = 1227.777 8 g; fragrance = 98.222 2 g
    assert batch_sheet(recipe_of(), 6) == BatchSheet(
        vessels=6,
        pitchers=(PitcherSheet(1, 6, 1_326_000, 1_227_778, 98_222),),
        totals=Totals(1_326_000, 1_227_778, 98_222),
    )


def test_six_vessels_with_eight_percent_of_the_total() -> None:
    # fragrance = 0.08 x 1326 = 106.08 g; wax = 1326 - 106.08 = 1219.92 g
    assert batch_sheet(OF_TOTAL, 6).pitchers == (PitcherSheet(1, 6, 1_326_000, 1_219_920, 106_080),)


def test_thirteen_vessels_take_three_pitchers_as_even_as_vessels_allow() -> None:
    # (1500 - 6) / 220 = 6.79: six a pitcher; 13 / 6 -> three pitchers of 5, 4 and 4
    # five: 5 x 220 + 6 = 1106 g, / 1.08 = 1024.074 g; four: 886 g, / 1.08 = 820.370 g
    sheet = batch_sheet(recipe_of(), 13)
    assert sheet.pitchers == (
        PitcherSheet(1, 5, 1_106_000, 1_024_074, 81_926),
        PitcherSheet(2, 4, 886_000, 820_370, 65_630),
        PitcherSheet(3, 4, 886_000, 820_370, 65_630),
    )
    # 1106 + 886 + 886 = 2878 g: thirteen fills and three residues
    assert sheet.totals == Totals(2_878_000, 2_664_814, 213_186)


def test_a_pitcher_filled_to_its_brim_holds_what_it_says() -> None:
    brim = recipe_of(pitcher=PitcherSpec(capacity_mg=446_000, residue_mg=6_000))  # 2 x 220 + 6
    assert [pitcher.vessels for pitcher in batch_sheet(brim, 4).pitchers] == [2, 2]


def test_a_pitcher_without_a_capacity_holds_every_lot() -> None:
    # 100 x 220 = 22000 g in one, nothing left on a wall
    sheet = batch_sheet(recipe_of(pitcher=PitcherSpec()), 100)
    assert [pitcher.mix_mg for pitcher in sheet.pitchers] == [22_000_000]


def test_the_fragrance_follows_the_wax_that_was_drawn() -> None:
    # of wax: 0.08 x 1250 = 100 g; of total: 0.08 / 0.92 x 1250 = 108.695 65 g
    assert fragrance_for(recipe_of(), 1_250_000) == 100_000
    assert fragrance_for(OF_TOTAL, 1_250_000) == 108_696


def test_too_much_fragrance_asks_for_wax() -> None:
    # of wax: 104 / 0.08 - 1250 = 50 g; of total: 115 x 0.92 / 0.08 - 1250 = 72.5 g
    assert correction_for(recipe_of(), 1_250_000, 104_000) == Correction(add_wax_mg=50_000)
    assert correction_for(OF_TOTAL, 1_250_000, 115_000) == Correction(add_wax_mg=72_500)


def test_too_little_fragrance_asks_for_fragrance() -> None:
    # of wax: 0.08 x 1250 - 88 = 12 g; of total: 108.696 - 88 = 20.696 g
    assert correction_for(recipe_of(), 1_250_000, 88_000) == Correction(add_fragrance_mg=12_000)
    assert correction_for(OF_TOTAL, 1_250_000, 88_000) == Correction(add_fragrance_mg=20_696)


def test_the_right_fragrance_asks_for_nothing() -> None:
    assert correction_for(recipe_of(), 1_250_000, 100_000) == Correction()


@pytest.mark.parametrize("vessels", [0, -3])
def test_a_lot_without_vessels_has_no_sheet(vessels: int) -> None:
    with pytest.raises(ValueError, match=f"at least one vessel, not {vessels}"):
        batch_sheet(recipe_of(), vessels)


def test_a_pitcher_too_small_for_a_vessel_has_no_sheet() -> None:
    small = recipe_of(pitcher=PitcherSpec(capacity_mg=225_000, residue_mg=6_000))
    with pytest.raises(ValueError, match="does not hold one vessel"):
        batch_sheet(small, 1)


@given(recipes, st.integers(1, 500))
def test_nothing_is_lost_between_vessels_pitchers_and_totals(recipe: Recipe, vessels: int) -> None:
    sheet = batch_sheet(recipe, vessels)
    residues_mg = len(sheet.pitchers) * recipe.pitcher.residue_mg
    assert sum(pitcher.vessels for pitcher in sheet.pitchers) == vessels
    assert sheet.totals.mix_mg == vessels * recipe.vessel.fill_mg + residues_mg
    assert sheet.totals.wax_mg + sheet.totals.fragrance_mg == sheet.totals.mix_mg
    for pitcher in sheet.pitchers:
        assert pitcher.wax_mg + pitcher.fragrance_mg == pitcher.mix_mg


@given(recipes, st.integers(1, 500))
def test_pitchers_are_the_fewest_and_even(recipe: Recipe, vessels: int) -> None:
    counts = [pitcher.vessels for pitcher in batch_sheet(recipe, vessels).pitchers]
    capacity_mg = recipe.pitcher.capacity_mg
    assert capacity_mg is not None
    held = (capacity_mg - recipe.pitcher.residue_mg) // recipe.vessel.fill_mg
    assert max(counts) <= held
    assert (len(counts) - 1) * held < vessels
    assert max(counts) - min(counts) <= 1


@given(recipes, st.integers(1, 500))
def test_the_sheet_and_the_drawn_wax_agree_on_the_fragrance(recipe: Recipe, vessels: int) -> None:
    for pitcher in batch_sheet(recipe, vessels).pitchers:
        assert abs(fragrance_for(recipe, pitcher.wax_mg) - pitcher.fragrance_mg) <= 1


@given(recipes, masses, masses)
def test_a_correction_brings_the_load_back(recipe: Recipe, wax_mg: int, fragrance_mg: int) -> None:
    added = correction_for(recipe, wax_mg, fragrance_mg)
    assert min(added.add_wax_mg, added.add_fragrance_mg) == 0
    wanted_mg = fragrance_for(recipe, wax_mg + added.add_wax_mg)
    assert abs(wanted_mg - (fragrance_mg + added.add_fragrance_mg)) <= 1
