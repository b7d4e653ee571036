"""Three batch sheets worked by hand, from the recipe file to the correction of a slip.

Masses in g. With load f, mix M, wax W and fragrance F: of the wax W = M / (1 + f), of the total
F = f M, and W + F = M; what counts as the load is common practice, no source. The US fluid ounce
is 29.5735295625 mL (NIST Handbook 44, Appendix C).
"""

from pathlib import Path

import msgspec
import pytest
from recipe_texts import read

from collector import mix_advice
from collector.advice import WaxNow
from collector.batch_sheet import PitcherSheet, Totals, batch_sheet, fragrance_for
from collector.conclusions import Evidence, WeighingAccepted
from collector.conclusions import WeighingKind as Kind
from collector.corrections import Mixed, vessels_of, what_is_possible
from collector.display import Display
from collector.lot_events import LotOpened, PlannedLot, PourDayPlanned
from collector.lot_record import LotRecord, record_of
from collector.pour_day import DaySheet, day_sheet, pot_words
from collector.recipes import Recipe

JARS = """\
name = "Quarry lane, 8 oz jar"
[vessel]
volume = "8 fl oz"
tolerance = "2 g"
[pitcher]
capacity = "3 kg"
residue = "8 g"
[wax]
name = "soy blend"
density = "0.87 g/mL"
[fragrance]
name = "wet slate"
load = "7 %"
load_of = "wax"
add_between = ["80 degC", "85 degC"]
"""
TUMBLERS = """\
name = "Ferry road, 180 g tumbler"
[vessel]
fill = "180 g"
tolerance = "2 g"
[pitcher]
capacity = "1200 g"
residue = "10 g"
[wax]
name = "soy blend"
most_fragrance = "10 %"
[fragrance]
name = "tarred rope"
load = "9 %"
load_of = "total"
"""
GRAMS = Display()


@pytest.fixture
def jars(tmp_path: Path) -> Recipe:
    return read(tmp_path, JARS)


@pytest.fixture
def tumblers(tmp_path: Path) -> Recipe:
    return read(tmp_path, TUMBLERS)


def test_twelve_jars_by_volume_and_their_fragrance_that_was_short(jars: Recipe) -> None:
    """Load of the wax, vessel by volume, one pitcher.

    fill       8 x 29.5735295625 mL = 236.588 mL, x 0.87 g/mL = 205.832 g
    mix        12 x 205.832 + 8 = 2477.984 g, under the 3000 g of the pitcher
    wax        2477.984 / 1.07 = 2315.873 g
    fragrance  2477.984 - 2315.873 = 162.111 g

    Slip: 150 g of fragrance were weighed, and the wax has cooled to 78 °C.
    missing    0.07 x 2315.873 - 150 = 12.111 g, but first warm the wax to 80 °C
    """
    assert jars.vessel.fill_mg == 205_832
    sheet = batch_sheet(jars, 12)
    assert sheet.pitchers == (PitcherSheet(1, 12, 2_477_984, 2_315_873, 162_111),)
    slip = Mixed(2_315_873, 150_000, 12)
    possible = what_is_possible(jars, slip, 78_000)
    assert (possible.add_fragrance_mg, possible.warm_to_mdegc) == (12_111, 80_000)
    assert (possible.more_mg, possible.fills) == (0, 12)
    words = mix_advice.fragrance_grams(jars, slip, WaxNow(78_000, None), GRAMS)
    assert words.message == "Fragrance 12.1 g short at 7 % of the 2315.9 g drawn."
    assert words.advice == (
        "The wax is at 78.0 °C: warm it to 80.0 °C, add 12.1 g, and stir the full time."
    )


def test_fifteen_tumblers_in_three_pitchers_and_their_fragrance_that_was_too_much(
    tumblers: Recipe,
) -> None:
    """Load of the total, three pitchers.

    pitchers   (1200 - 10) / 180 = 6.6: six vessels at most, 15 / 6 -> three pitchers of five
    mix        5 x 180 + 10 = 910 g each
    fragrance  0.09 x 910 = 81.9 g, wax 910 - 81.9 = 828.1 g
    totals     2730 g, wax 2484.3 g, fragrance 245.7 g
    limit      0.09 / 0.91 = 9.890 % of the wax, under the wax maker's 10 %

    Slip in the second pitcher: 860 g of wax are drawn, so the fragrance becomes
    9 / 91 x 860 = 85.055 g; 90 g are weighed.
    wax        90 x 91 / 9 = 910 g are right, 50 g more; room for 1200 - 950 = 250 g
    mix        860 + 90 + 50 = 1000 g, 90 g more than needed and less than a vessel
    as it is   90 / 860 = 10.465 % of the wax, over the 10 %: not to be kept
    """
    sheet = batch_sheet(tumblers, 15)
    assert sheet.pitchers == tuple(
        PitcherSheet(number, 5, 910_000, 828_100, 81_900) for number in (1, 2, 3)
    )
    assert sheet.totals == Totals(2_730_000, 2_484_300, 245_700)
    assert fragrance_for(tumblers, 860_000) == 85_055
    slip = Mixed(860_000, 90_000, 5)
    possible = what_is_possible(tumblers, slip, None)
    assert (possible.add_wax_mg, possible.room_mg, possible.fits) == (50_000, 250_000, True)
    assert (possible.more_mg, possible.more_vessels) == (90_000, 0)
    words = mix_advice.fragrance_grams(tumblers, slip, WaxNow(None, None), GRAMS)
    assert words.message == "Too much fragrance at 9 % of the total with the 860.0 g drawn: 90.0 g."
    assert words.advice == (
        "Add 50.0 g of wax to bring the load back to 9 %: 90.0 g more than the vessels need."
        " Then stir the full time."
        " Do not keep it as it is: 10.47 % of the wax, and the wax maker allows 10 %."
    )


def test_a_pour_day_of_three_lots_whose_pot_was_short(jars: Recipe, tumblers: Recipe) -> None:
    """Two recipes, one pot.

    12 jars      wax 2315.873 g
    15 tumblers  wax 2484.300 g
    6 jars       mix 6 x 205.832 + 8 = 1242.992 g, wax 1242.992 / 1.07 = 1161.675 g
    pot          2315.873 + 2484.300 + 1161.675 = 5961.848 g, with 120 g that stay 6081.848 g

    6000 g were melted: 81.848 g less than that.
    Slip: 2400 g are drawn for the first lot (84.127 g more) and 800 g for the first pitcher of
    the second (28.1 g less, of which 2 %, 16.562 g, would be tolerated: they are still needed).
    left         6000 - 2400 - 800 = 2800 g, 2680 g of it usable
    needed       28.1 + 2 x 828.1 + 1161.675 = 2845.975 g: 165.975 g short, in the third lot

    Either 200 g more are melted: 6200 - 3200 - 120 - 2845.975 = 34.025 g are left over.
    Or the third lot gets what is left, 1161.675 - 165.975 = 995.7 g of wax, with
    0.07 x 995.7 = 69.699 g of fragrance a mix of 1065.399 g; (1065.399 - 8) / 203.832 = 5.19,
    so five of its six jars.
    """
    plans = (PlannedLot(jars, 12), PlannedLot(tumblers, 15), PlannedLot(jars, 6))
    day = PourDayPlanned(
        at_us=0, bench=None, lot=None, day="d", lots=plans, melted_mg=6_000_000, residue_mg=120_000
    )
    before = day_sheet(day, [])
    assert (before.must_hold_mg, before.spare_mg) == (6_081_848, -81_848)
    drawn = [_drawn("1", jars, 12, 2_400_000), _drawn("2", tumblers, 15, 800_000)]
    sheet = day_sheet(day, drawn)
    assert (sheet.left_mg, sheet.needed_mg, sheet.spare_mg) == (2_800_000, 2_845_975, -165_975)
    assert "holds 166.0 g less" in pot_words(sheet, GRAMS)
    assert "runs out in Quarry lane, 8 oz jar, pitcher 1 of 1" in pot_words(sheet, GRAMS)
    assert _melted(day, 6_200_000, drawn).spare_mg == 34_025
    assert fragrance_for(jars, 995_700) == 69_699
    assert vessels_of(jars, 995_700 + 69_699, 6) == 5


def _melted(day: PourDayPlanned, melted_mg: int, drawn: list[LotRecord]) -> DaySheet:
    return day_sheet(msgspec.structs.replace(day, melted_mg=melted_mg), drawn)


def _drawn(lot: str, recipe: Recipe, vessels: int, wax_mg: int) -> LotRecord:
    """A lot whose first pitcher is drawn."""
    opened = LotOpened(
        at_us=0, bench="creek", lot=lot, recipe=recipe, vessels=vessels, channels=(), pour_day="d"
    )
    weighed = WeighingAccepted(
        at_us=1,
        bench="creek",
        lot=lot,
        kind=Kind.WAX,
        pitcher=1,
        vessel=None,
        mass_mg=wax_mg,
        target_mg=wax_mg,
        tolerance_mg=1,
        evidence=Evidence("creek-scale", 1, 2, 9),
    )
    return record_of([opened, weighed])
