"""What is possible after a slip. The arithmetic follows from load = fragrance / wax (or of the
total) and stands beside each case; how the trade puts such things right is common practice."""

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stranger_round import AMBER, TIN

from collector import mix_advice
from collector.advice import UNKNOWN_WAX, WaxNow
from collector.batch_sheet import fragrance_for
from collector.corrections import Mixed, PourOff, vessels_of, what_is_possible
from collector.display import Display
from collector.expectations import Expectation
from collector.pot import InPot
from collector.recipes import LoadOf, Recipe

GRAMS = Display()
said = mix_advice.fragrance_grams


def allowing(recipe: Recipe, most_ppm: int | None, ifra_ppm: int | None = None) -> Recipe:
    wax = msgspec.structs.replace(recipe.wax, most_ppm=most_ppm)
    fragrance = msgspec.structs.replace(recipe.fragrance, ifra_limit_ppm=ifra_ppm)
    return msgspec.structs.replace(recipe, wax=wax, fragrance=fragrance)


def test_too_much_fragrance_takes_wax_and_gives_more_mix_than_planned() -> None:
    # planned 6 x 220 + 6 = 1326 g; 104 g at 8 % is right for 1300 g of wax: 72.222 g more than
    # the 1227.778 g drawn; the mix is then 1404 g, 78 g more than the vessels need
    possible = what_is_possible(AMBER, Mixed(1_227_778, 104_000, 6), None)
    assert (possible.add_wax_mg, possible.add_fragrance_mg) == (72_222, 0)
    assert possible.fits
    assert (possible.more_mg, possible.more_vessels, possible.fills) == (78_000, 0, 6)


def test_more_mix_than_a_vessel_s_fill_is_enough_for_one_more() -> None:
    # 4 vessels: 886 g planned; 90 g at 8 % is right for 1125 g, a mix of 1215 g: 329 g more
    words = said(AMBER, Mixed(820_370, 90_000, 4), UNKNOWN_WAX, GRAMS)
    assert "Add 304.6 g of wax" in words.advice
    assert "329.0 g more than the vessels need" in words.advice
    assert "enough for 1 vessel more" in words.advice


def test_a_pitcher_without_room_has_mix_poured_off_first() -> None:
    # capacity 1500 g, in it 1227.778 + 150 = 1377.778 g: room for 122.222 g. 150 g at 8 % is
    # right for 1875 g: 647.222 g to add. Mix put right 2025 g; kept is 1326 / 2025 of
    # 1377.778 g = 902.189 g, so 475.589 g are poured off and 1326 - 902.189 = 423.811 g added:
    # fragrance 150 x 1326 / 2025 = 98.222 g, which is 8 % of the 1227.778 g of wax.
    possible = what_is_possible(AMBER, Mixed(1_227_778, 150_000, 6), None)
    assert not possible.fits
    assert possible.room_mg == 122_222
    assert possible.pour_off == PourOff(475_589, 423_811)
    words = said(AMBER, Mixed(1_227_778, 150_000, 6), WaxNow(82_000, None), GRAMS)
    assert "holds only 122.2 g more: pour 475.6 g of the mix off" in words.advice
    assert "then add 423.8 g of wax" in words.advice


def test_a_load_within_every_limit_may_be_kept_and_says_the_numbers() -> None:
    # 104 / 1227.778 = 8.4706 % of the wax, 104 / 1331.778 = 7.8091 % of the total
    recipe = allowing(AMBER, 100_000, 80_000)
    words = said(recipe, Mixed(1_227_778, 104_000, 6), UNKNOWN_WAX, GRAMS)
    assert "Or keep it as it is: 8.47 % of the wax where the wax maker allows 10 %" in words.advice
    assert "7.81 % of the total where the fragrance's IFRA certificate allows 8 %" in words.advice


def test_a_load_above_a_limit_must_not_be_kept() -> None:
    recipe = allowing(AMBER, 100_000, 75_000)
    words = said(recipe, Mixed(1_227_778, 104_000, 6), UNKNOWN_WAX, GRAMS)
    assert "Do not keep it as it is: 7.81 % of the total" in words.advice
    assert "allows 7.5 %" in words.advice


def test_without_any_limit_nobody_says_that_it_may_be_kept() -> None:
    possible = what_is_possible(AMBER, Mixed(1_227_778, 104_000, 6), None)
    assert not possible.may_be_kept


@pytest.mark.parametrize(("mdegc", "warm_to"), [(None, None), (80_000, None), (79_999, 80_000)])
def test_missing_fragrance_goes_in_while_the_wax_is_in_the_window(
    mdegc: int | None, warm_to: int | None
) -> None:
    possible = what_is_possible(AMBER, Mixed(1_227_778, 88_000, 6), mdegc)
    assert possible.add_fragrance_mg == 10_222  # 8 % of 1227.778 g is 98.222 g
    assert possible.warm_to_mdegc == warm_to


def test_whether_the_pot_has_the_wax_is_told_where_somebody_knows() -> None:
    mixed = Mixed(1_227_778, 104_000, 6)
    pots = (None, InPot(72_222, 0), InPot(72_221, 0))
    assert [what_is_possible(AMBER, mixed, None, pot).wax_left for pot in pots] == [
        True,
        True,
        False,
    ]
    words = [said(AMBER, mixed, UNKNOWN_WAX, GRAMS, pot).advice for pot in pots]
    assert "pot" not in words[0]
    assert "The pot has it, and 0.0 g to spare." in words[1]
    assert "Add 72.2 g of wax" not in words[2]


def test_a_pot_that_the_rest_of_the_day_needs_says_by_how_much_it_is_then_short() -> None:
    # 72.222 g out of 100 g leave 27.778 g, and 50 g are needed: 22.222 g short
    mixed = Mixed(1_227_778, 104_000, 6)
    words = said(AMBER, mixed, UNKNOWN_WAX, GRAMS, InPot(100_000, 50_000))
    assert "The pot has it, but is then 22.2 g short for the rest of the day." in words.advice


def test_a_pot_without_the_wax_has_mix_poured_off_where_that_takes_less() -> None:
    # to be added 72.222 g; poured off 1326 / 1404 of it is kept: 1257.790 g, and 68.210 g of
    # wax make it 1326 g again
    mixed = Mixed(1_227_778, 104_000, 6)
    words = said(AMBER, mixed, UNKNOWN_WAX, GRAMS, InPot(70_000, 0))
    assert "The pot holds only 70.0 g: pour 74.0 g of the mix off" in words.advice
    assert "then add 68.2 g of wax" in words.advice
    assert "1.8 g to spare" in words.advice
    less = said(AMBER, mixed, UNKNOWN_WAX, GRAMS, InPot(68_000, 0))
    assert "wants 72.2 g of wax, and the pot holds only 68.0 g. Melt more first." in less.advice


def test_a_pitcher_that_cannot_hold_the_mix_is_said_while_there_is_only_wax_in_it() -> None:
    # 1400 g of wax and 8 % of it are 1512 g, the pitcher holds 1500 g; with 1388.888 g it would
    # just be full
    expected = Expectation(1_227_778, 24_556)

    def advised(wax_mg: int) -> str:
        mixed = Mixed(wax_mg, fragrance_for(AMBER, wax_mg), 6)
        return mix_advice.wax_grams(AMBER, mixed, expected, wax_mg, GRAMS).advice

    assert advised(1_400_000) == (
        "Pour 172.2 g back: with its fragrance it is 1512.0 g, and the pitcher holds 1500.0 g."
    )
    assert "or go on" in advised(1_388_888)


def test_missing_fragrance_that_has_no_room_is_said() -> None:
    # 112 g belong to 1400 g; 95 g are in, 5 g of room are left for the 17 g that are missing
    words = said(AMBER, Mixed(1_400_000, 95_000, 6), UNKNOWN_WAX, GRAMS)
    assert "Add 17.0 g now" in words.advice
    assert "the pitcher holds only 5.0 g more: pour 12.0 g of the mix off first" in words.advice


def test_wax_that_is_added_late_is_stirred_in_where_the_fragrance_binds() -> None:
    mixed = Mixed(1_227_778, 104_000, 6)
    warm = said(AMBER, mixed, WaxNow(80_000, None), GRAMS)
    cool = said(AMBER, mixed, WaxNow(79_999, None), GRAMS)
    assert "Then stir the full time." in warm.advice
    assert "Then warm it to 80.0 °C and stir the full time." in cool.advice


def test_neither_room_nor_wax_is_said_of_both() -> None:
    # room for 122.222 g of the 647.222 g; poured off it would still take 423.811 g
    mixed = Mixed(1_227_778, 150_000, 6)
    words = said(AMBER, mixed, UNKNOWN_WAX, GRAMS, InPot(400_000, 0))
    assert "the pitcher holds only 122.2 g more and the pot holds only 400.0 g" in words.advice


def test_wax_off_its_target_is_held_against_the_pot() -> None:
    wax = Expectation(1_000_000, 20_000)

    def advised(mass_mg: int, pot: InPot | None) -> str:
        mixed = Mixed(mass_mg, 80_000, 4)
        return mix_advice.wax_grams(AMBER, mixed, wax, mass_mg, GRAMS, pot).advice

    assert "The pot has it, and 10.0 g to spare." in advised(950_000, InPot(60_000, 0))
    assert "is then 40.0 g short" in advised(950_000, InPot(60_000, 50_000))
    assert "The pot holds only 49.0 g: melt more first." in advised(950_000, InPot(49_000, 0))
    assert "or go on" in advised(1_050_000, InPot(60_000, 60_000))
    assert "without it the pot is 10.0 g short" in advised(1_050_000, InPot(60_000, 70_000))


def test_wax_that_is_short_says_how_many_vessels_it_fills() -> None:
    # 900 g of wax and 72 g of fragrance are 972 g; less 6 g residue 966 g: four vessels of at
    # least 218 g (872 g), not five (1090 g)
    assert vessels_of(AMBER, 972_000, 6) == 4
    words = mix_advice.mix_short(AMBER, Mixed(900_000, 72_000, 6))
    assert words == " As it is, this pitcher fills 4 of its 6 vessels."


def test_wax_too_much_still_fills_every_vessel_and_no_more_than_there_are() -> None:
    assert mix_advice.mix_short(AMBER, Mixed(1_300_000, 104_000, 6)) == ""
    assert vessels_of(AMBER, 1_404_000, 6) == 6


def test_a_pitcher_without_wax_is_held_against_no_limit() -> None:
    assert what_is_possible(allowing(AMBER, 100_000), Mixed(0, 10_000, 6), None).limits == ()


@given(
    st.sampled_from([AMBER, TIN]),
    st.integers(100_000, 1_300_000),
    st.integers(1_000, 400_000),
    st.integers(1, 6),
)
def test_what_is_poured_off_and_added_makes_the_planned_mix_at_the_planned_load(
    recipe: Recipe, wax_mg: int, fragrance_mg: int, vessels: int
) -> None:
    possible = what_is_possible(recipe, Mixed(wax_mg, fragrance_mg, vessels), None)
    off = possible.pour_off
    if off is None:
        return
    mix_mg = wax_mg + fragrance_mg
    kept = 1 - off.mix_mg / mix_mg
    new_wax, new_fragrance = kept * wax_mg + off.wax_mg, kept * fragrance_mg
    need = vessels * recipe.vessel.fill_mg + recipe.pitcher.residue_mg
    assert new_wax + new_fragrance == pytest.approx(need, abs=2)
    assert new_fragrance == pytest.approx(fragrance_for(recipe, round(new_wax)), abs=3)
    assert off.wax_mg >= 0


def test_a_load_of_the_total_is_held_against_a_limit_of_the_wax() -> None:
    # 60 g in 440 g of wax are 12 % of the total and 60 / 440 = 13.636 % of the wax
    recipe = allowing(TIN, 100_000)
    (limit,) = what_is_possible(recipe, Mixed(440_000, 60_000, 4), None).limits
    assert (limit.basis, limit.load_ppm, limit.kept) == (LoadOf.WAX, 136_364, False)
