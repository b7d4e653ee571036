"""What each weighing of a lot should come to."""

from scale_steps import mg, targets_of
from stranger_round import AMBER, TIN

from collector.batch_sheet import batch_sheet
from collector.expectations import Expectation


def test_vessels_due_add_up_over_the_pitchers() -> None:
    targets = targets_of(TIN, 9)
    assert (targets.pitchers, targets.vessels) == (2, 9)
    assert [targets.vessels_due(pitcher) for pitcher in (0, 1, 2)] == [0, 5, 9]
    assert targets.vessels_due(3) == 9  # the lot has no third pitcher


def test_the_wax_of_each_pitcher_is_that_of_its_sheet() -> None:
    targets, sheet = targets_of(TIN, 9), batch_sheet(TIN, 9)
    assert [targets.wax(pitcher).target_mg for pitcher in (1, 2)] == [
        each.wax_mg for each in sheet.pitchers
    ]
    assert targets.wax(1).target_mg > targets.wax(2).target_mg


def test_the_tolerance_of_the_wax_is_a_share_of_it() -> None:
    wax = targets_of().wax(1)
    assert wax.tolerance_mg == wax.target_mg * AMBER.wax.tolerance_ppm // 1_000_000
    assert wax.tolerance_mg > mg(0.5)


def test_the_fragrance_follows_the_wax_really_drawn_by_the_recipes_load() -> None:
    assert targets_of(AMBER).fragrance(mg(600)).target_mg == mg(48)  # 8 % of the wax
    assert targets_of(TIN).fragrance(mg(558)).target_mg == mg(42)  # 7 % of the 600 g together


def test_every_fill_is_the_vessels() -> None:
    assert targets_of().fill() == Expectation(mg(220), mg(2))


def test_no_tolerance_is_closer_than_a_bench_scale_can_tell() -> None:
    tiny = targets_of().fragrance(mg(50))
    assert tiny == Expectation(mg(4), mg(0.5))


def test_no_tolerance_is_closer_than_the_scales_division() -> None:
    targets = targets_of()
    fine = targets.wax(1).tolerance_mg
    targets.division_mg = mg(2)
    assert targets.fragrance(mg(616.7)).tolerance_mg == mg(2)
    assert targets.wax(1).tolerance_mg == fine
