"""Lots drawn at random: what they may be, and that what is planted is clear and can be seen."""

from collections import Counter

import pytest

from simulators.bench_model import POT_PROBE
from simulators.chance.lots import ChanceLot, chance_lot
from simulators.faults import FaultKind
from simulators.recipe_card import amount

LOTS = [chance_lot(11, number) for number in range(400)]


def test_the_same_seed_and_number_draw_the_same_lot() -> None:
    assert chance_lot(7, 12) == chance_lot(7, 12)
    assert chance_lot(7, 12) != chance_lot(7, 13)
    assert chance_lot(7, 12) != chance_lot(8, 12)
    assert chance_lot(7, 12) != chance_lot(7, 12, attempt=1)


def test_recipes_are_what_makers_make() -> None:
    for lot in LOTS:
        card = lot.plan.recipe
        assert 60.0 <= card.fill_g <= 400.0
        assert 3 <= lot.plan.vessels <= 30
        assert 0.03 <= card.load <= 0.12
        assert 60.0 <= card.stir_s <= 180.0
        assert card.add.high - card.add.low >= 5.0
        assert card.pour.high - card.pour.low >= 5.0
        assert card.pour.high < card.add.high < card.never_above_degc
        assert 16.0 <= lot.scenario.room_degc <= 30.0


def pitchers_of(lot: ChanceLot) -> int:
    pitcher = lot.plan.recipe.document["pitcher"]
    capacity_g, residue_g = amount(pitcher["capacity"]), amount(pitcher["residue"])
    held = int((capacity_g - residue_g) // lot.plan.recipe.fill_g)
    return -(-lot.plan.vessels // held)


def test_lots_take_one_to_three_pitchers() -> None:
    assert {pitchers_of(lot) for lot in LOTS} == {1, 2, 3}


def test_faults_name_a_pitcher_and_a_vessel_that_there_is() -> None:
    for lot in LOTS:
        for fault in lot.plan.faults:
            assert 1 <= fault.pitcher <= pitchers_of(lot)
            assert fault.vessel is None or 1 <= fault.vessel <= lot.plan.vessels


def test_instruments_are_of_all_kinds() -> None:
    scales = [lot.instruments.scale for lot in LOTS]
    assert {scale.resolution_g for scale in scales} == {0.1, 0.2, 0.5, 1.0}
    assert {round(1.0 / scale.every_s) for scale in scales} == {2, 3, 4, 5, 8, 10}
    assert len({scale.dialect for scale in scales}) == 4
    assert {len(lot.instruments.probes.names) for lot in LOTS} == {1, 2, 3}


def test_every_habit_is_somebodys() -> None:
    for habit in vars(LOTS[0].plan.habits):
        assert len({getattr(lot.plan.habits, habit) for lot in LOTS}) > 1, habit


def test_about_every_other_lot_goes_wrong_in_one_to_three_ways() -> None:
    counts = Counter(len(lot.plan.faults) for lot in LOTS)
    assert set(counts) == {0, 1, 2, 3}
    assert counts[0] / len(LOTS) == pytest.approx(0.5, abs=0.08)


def test_every_kind_of_fault_is_drawn() -> None:
    assert {fault.kind for lot in LOTS for fault in lot.plan.faults} == set(FaultKind)


def test_planted_masses_are_clearly_off() -> None:
    # The tolerances are those that the service's recipes name: 2 % of wax, 2.5 % of fragrance.
    least = {
        FaultKind.WAX_SHORT: 0.03,
        FaultKind.WAX_TOO_MUCH: 0.03,
        FaultKind.FRAGRANCE_TOO_LITTLE: 0.0375,
        FaultKind.FRAGRANCE_TOO_MUCH: 0.0375,
    }
    for lot in LOTS:
        for fault in lot.plan.faults:
            if fault.kind in least:
                assert abs(fault.share - 1.0) >= least[fault.kind]
            if fault.kind in {FaultKind.VESSEL_LIGHT, FaultKind.VESSEL_HEAVY}:
                assert fault.grams >= 1.5 * lot.plan.recipe.fill_tolerance_g
            assert fault.kelvin >= 1.0


def test_what_cannot_be_seen_is_not_planted() -> None:
    for lot in LOTS:
        habits, kinds = lot.plan.habits, {fault.kind for fault in lot.plan.faults}
        if not habits.cools_on_scale:
            assert not kinds & {FaultKind.STIR_SKIPPED, FaultKind.STIR_CUT_SHORT}
        if habits.weighs_apart and not habits.tips_in_on_scale:
            assert not kinds & {FaultKind.FRAGRANCE_TOO_COOL, FaultKind.FRAGRANCE_TOO_WARM}
        if POT_PROBE not in lot.instruments.probes.names:
            assert FaultKind.POT_TOO_HOT not in kinds
