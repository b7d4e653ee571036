"""What a rise on the scale is taken for, stage by stage."""

import pytest

from collector.events import WeighingKind
from collector.expectations import (
    Expectation,
    Outlook,
    Stage,
    drawn_away,
    into_tared,
    jump_kind,
    poured_kind,
)
from collector.pan import Load, Pan

WAX = Expectation(616_000, 12_000)
FRAGRANCE = Expectation(49_000, 1_200)
FILL = Expectation(220_000, 2_000)


def outlook(
    stage: Stage,
    wax_mg: int | None = 616_000,
    fragrance_mg: int | None = None,
    more_pitchers: bool = False,
    stirred: bool = False,
) -> Outlook:
    return Outlook(stage, WAX, FRAGRANCE, FILL, wax_mg, fragrance_mg, more_pitchers, stirred)


def pan_with(load: Load, container_mg: int = 180_000, mass_mg: int = 180_000) -> Pan:
    pan = Pan()
    pan.put_on(load, container_mg, mass_mg)
    return pan


def test_an_expectation_is_met_within_its_tolerance_ends_included() -> None:
    assert FILL.met_by(218_000)
    assert FILL.met_by(222_000)
    assert not FILL.met_by(217_999)
    assert FILL.miss(110_000) == pytest.approx(0.5)


def test_before_wax_was_drawn_whatever_is_poured_is_wax() -> None:
    rise = poured_kind(outlook(Stage.WAX, None), Pan(), 0, 20_000, settled=False)
    assert rise is WeighingKind.WAX


def test_on_top_of_the_wax_comes_fragrance() -> None:
    pan = pan_with(Load.PITCHER, 0)
    assert poured_kind(outlook(Stage.FRAGRANCE), pan, 616_000, 5_000, settled=False) is (
        WeighingKind.FRAGRANCE
    )


def test_wax_that_is_short_is_topped_up_by_what_it_lacks() -> None:
    short = outlook(Stage.FRAGRANCE, wax_mg=516_000)
    pan = pan_with(Load.PITCHER, 0)
    assert poured_kind(short, pan, 516_000, 40_000, settled=False) is None
    assert poured_kind(short, pan, 516_000, 99_000, settled=True) is WeighingKind.WAX
    assert poured_kind(short, pan, 516_000, 45_000, settled=True) is WeighingKind.FRAGRANCE


def test_what_goes_into_a_vessel_is_a_fill_even_without_fragrance() -> None:
    pan = pan_with(Load.VESSEL)
    assert poured_kind(outlook(Stage.FRAGRANCE), pan, 180_000, 20_000, settled=False) is (
        WeighingKind.FILL
    )


def test_fragrance_may_go_into_a_light_beaker() -> None:
    pan = pan_with(Load.VESSEL, 64_000, 64_000)
    at = outlook(Stage.FRAGRANCE)
    assert poured_kind(at, pan, 64_000, 20_000, settled=False) is None
    assert poured_kind(at, pan, 64_000, 48_000, settled=True) is WeighingKind.FRAGRANCE
    assert poured_kind(at, pan, 64_000, 120_000, settled=False) is WeighingKind.FILL


def test_far_too_much_fragrance_is_a_fill_where_the_pitcher_may_have_gone_unseen() -> None:
    unseen, seen = Pan(), pan_with(Load.PITCHER, 0)
    assert into_tared(outlook(Stage.FRAGRANCE), unseen, 30_000) is WeighingKind.FRAGRANCE
    assert into_tared(outlook(Stage.FRAGRANCE), unseen, 90_000) is WeighingKind.FILL
    assert into_tared(outlook(Stage.FRAGRANCE), seen, 90_000) is WeighingKind.FRAGRANCE


def test_after_the_fragrance_a_rise_from_zero_waits_until_it_can_be_told() -> None:
    at = outlook(Stage.BLEND, fragrance_mg=49_000)
    assert poured_kind(at, Pan(), 0, 20_000, settled=False) is None
    assert poured_kind(at, Pan(), 0, 50_000, settled=True) is WeighingKind.FRAGRANCE
    assert poured_kind(at, Pan(), 0, 80_000, settled=False) is WeighingKind.FILL


def test_after_the_stir_a_rise_from_zero_is_a_fill_at_once() -> None:
    at = outlook(Stage.BLEND, fragrance_mg=49_000, stirred=True)
    assert poured_kind(at, Pan(), 0, 16_000, settled=False) is WeighingKind.FILL


def test_more_in_the_pitcher_is_wax_only_where_there_is_too_much_fragrance() -> None:
    pan = pan_with(Load.PITCHER, 0)
    enough = outlook(Stage.BLEND, fragrance_mg=49_000)
    too_much = outlook(Stage.BLEND, fragrance_mg=60_000)
    assert poured_kind(enough, pan, 665_000, 9_000, settled=True) is WeighingKind.FRAGRANCE
    assert poured_kind(too_much, pan, 676_000, 99_000, settled=True) is WeighingKind.WAX


def test_while_pouring_a_rise_beyond_any_vessel_is_the_next_pitcher() -> None:
    at = outlook(Stage.POUR, more_pitchers=True)
    assert poured_kind(at, Pan(), 0, 400_000, settled=True) is WeighingKind.WAX
    last = outlook(Stage.POUR, more_pitchers=False)
    assert poured_kind(last, Pan(), 0, 400_000, settled=True) is WeighingKind.FILL


def test_wax_at_once_needs_to_be_near_its_target_where_nothing_stands_for_sure() -> None:
    at = outlook(Stage.WAX, None)
    assert jump_kind(at, Pan(), 600_000) is WeighingKind.WAX
    assert jump_kind(at, Pan(), 310_000) is None
    assert jump_kind(at, pan_with(Load.PITCHER, 0, 310_000), 400_000) is WeighingKind.WAX


def test_a_pitcher_that_comes_back_full_was_drawn_elsewhere() -> None:
    pan = pan_with(Load.PITCHER, 310_000, 310_000)
    pan.take_off(310_000, 0)
    at = outlook(Stage.WAX, None)
    assert drawn_away(at, pan, 926_000)
    assert not drawn_away(at, pan, 310_000)
    assert jump_kind(at, pan, 926_000) is WeighingKind.WAX


def test_fragrance_at_once_goes_into_the_pitcher_that_stands_there() -> None:
    at = outlook(Stage.FRAGRANCE)
    assert jump_kind(at, pan_with(Load.PITCHER, 0), 47_000) is WeighingKind.FRAGRANCE
    assert jump_kind(at, pan_with(Load.PITCHER, 0), 850_000) is None


def test_a_vessel_as_heavy_as_its_fill_is_not_a_fill() -> None:
    pan = pan_with(Load.VESSEL, 221_000, 221_000)
    pan.take_off(441_000, 220_000)
    assert jump_kind(outlook(Stage.POUR), pan, 221_000) is None


def test_a_fill_at_once_into_a_vessel_that_stands_there_is_a_fill() -> None:
    assert jump_kind(outlook(Stage.POUR), pan_with(Load.VESSEL), 214_000) is WeighingKind.FILL
    assert jump_kind(outlook(Stage.POUR), pan_with(Load.VESSEL), 850_000) is None
