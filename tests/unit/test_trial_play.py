"""A lot of the trial, played: the diary tells the truth, whatever the bench makes of it."""

import pytest
from trial import play_all, scored
from trial_play import Played, play_lot

from simulators.faults import FaultKind

PLAYED = [play_lot(3, number, marks=False) for number in range(1, 13)]


def test_a_lot_plays_the_same_alone_and_again() -> None:
    again = play_lot(3, 5, marks=False)
    assert again.events == PLAYED[4].events
    assert again.diary == PLAYED[4].diary


def test_the_number_of_workers_changes_nothing() -> None:
    assert play_all(3, 4, 2, marks=False) == [scored(played) for played in PLAYED[:4]]


@pytest.mark.parametrize("played", PLAYED, ids=lambda played: f"lot {played.number}")
def test_each_mishap_of_the_diary_became_evident(played: Played) -> None:
    for mishap in played.diary.mishaps:
        assert mishap.evident_s is not None, mishap.what
        assert mishap.evident_s <= played.seconds + 10.0


@pytest.mark.parametrize("played", PLAYED, ids=lambda played: f"lot {played.number}")
def test_good_practice_stays_well_inside_its_tolerance(played: Played) -> None:
    card = played.lot.plan.recipe
    off = {mishap.vessel for mishap in played.diary.mishaps if mishap.vessel is not None}
    division_g = played.lot.instruments.scale.resolution_g
    for mass in played.diary.masses.values():
        if mass.kind == "fill" and mass.vessel not in off:
            error_g = abs(mass.grams - card.fill_g)
            assert error_g <= max(0.5 * card.fill_tolerance_g, 0.85 + division_g)


@pytest.mark.parametrize("played", PLAYED, ids=lambda played: f"lot {played.number}")
def test_every_vessel_is_filled_or_its_loss_is_noted(played: Played) -> None:
    filled = sum(mass.kind == "fill" for mass in played.diary.masses.values())
    skipped = sum(m.kind is FaultKind.VESSEL_SKIPPED for m in played.diary.mishaps)
    assert filled + skipped == played.lot.plan.vessels


@pytest.mark.parametrize("played", PLAYED, ids=lambda played: f"lot {played.number}")
def test_phases_come_in_their_order(played: Played) -> None:
    order = ["draw wax", "add fragrance", "stir", "pour"]
    phases = played.diary.phases
    for pitcher in {pitcher for _name, pitcher in phases}:
        began = [phases[name, pitcher].began_s for name in order if (name, pitcher) in phases]
        assert began == sorted(began)
