"""What leaves the pan when the display falls."""

import pytest
from scale_steps import (
    FILL,
    FRAGRANCE,
    PITCHER_MG,
    VESSEL_MG,
    WAX,
    addition_of,
    case_of,
    mg,
    plateau,
    step,
)

from collector.additions import Key
from collector.case import Case
from collector.expectations import Stage
from collector.liftings import at_zero, lifted, lifting, lifts
from collector.scene import Habits, Lifted, Load, Masses, Scene
from collector.weighings import Step

CASE = case_of()


def full_pitcher(*, bare_g: float | None = 0.0) -> Scene:
    """An untared pitcher with wax and fragrance, on a scale that showed it being put."""
    return Scene(
        Load.PITCHER,
        None if bare_g is None else mg(bare_g),
        PITCHER_MG,
        stage=Stage.BLEND,
        made=(addition_of(WAX, 616.7, base_g=310),),
        open=addition_of(FRAGRANCE, 49.3, base_g=926.7),
        masses=Masses(pitcher_mg=PITCHER_MG),
    )


def full_vessel(*, filled: int = 1, empty_g: float = 180.0) -> Scene:
    """A vessel on the scale, filled to its mark."""
    return Scene(
        Load.VESSEL,
        mg(empty_g) - VESSEL_MG,
        mg(empty_g),
        stage=Stage.POUR,
        filled=filled,
        open=addition_of(FILL, 220, base_g=empty_g, vessel=filled),
    )


def lifts_of(scene: Scene, move: Step, case: Case = CASE) -> list[tuple[float, Scene]]:
    found = [(cost, after) for after, cost in lifts(scene, move, case)]
    return sorted(found, key=lambda each: each[0])


# ---------------------------------------------------------------- what was lifted


def test_a_lifted_pitcher_is_away_with_what_is_in_it() -> None:
    gone = lifted(full_pitcher(), plateau(976.0, 60, 70), plateau(0.0, 71, 74), CASE)
    assert (gone.load, gone.bare_mg, gone.empty_mg, gone.open) == (Load.NOTHING, 0, None, None)
    assert (gone.away_mg, gone.away_at_mg) == (mg(976), mg(976))
    assert gone.left == plateau(976.0, 60, 70)
    assert gone.lifted == Lifted(Load.PITCHER, mg(976), mg(666))
    assert (gone.masses.pitcher_mg, gone.pitcher_shown) == (PITCHER_MG, True)
    assert (gone.wax_mg, gone.fragrance_mg) == (mg(616.7), mg(49.3))


def test_what_is_open_is_closed_as_it_last_rested() -> None:
    gone = lifted(full_pitcher(), plateau(977.0, 60, 70), plateau(0.0, 71, 74), CASE)
    assert gone.fragrance_mg == mg(50.3)


def test_a_tared_pitcher_shows_its_own_mass_when_it_leaves() -> None:
    tared = full_pitcher(bare_g=None).shifted(-PITCHER_MG)
    gone = lifted(tared, plateau(666.0, 60, 70), plateau(-310.0, 71, 74), CASE)
    assert (gone.masses.pitcher_mg, gone.bare_mg) == (PITCHER_MG, mg(-310))
    assert gone.away_mg == mg(976)


def test_a_pitcher_that_was_never_put_does_not_show_when_its_mix_leaves() -> None:
    unseen = full_pitcher().shifted(-PITCHER_MG).but(bare_mg=0, masses=Masses())
    gone = lifted(unseen, plateau(666.0, 60, 70), plateau(0.0, 71, 74), CASE)
    assert (gone.masses.pitcher_mg, gone.pitcher_shown) == (0, False)


def test_an_empty_pitcher_that_leaves_is_not_awaited_with_a_mix() -> None:
    empty = Scene(Load.PITCHER, 0, PITCHER_MG)
    gone = lifted(empty, plateau(310, 3, 6), plateau(0, 7, 10), CASE)
    assert (gone.away_mg, gone.away_at_mg) == (None, PITCHER_MG)


def test_a_lifted_vessel_is_remembered_with_its_fill() -> None:
    gone = lifted(full_vessel(), plateau(400, 60, 70), plateau(0, 71, 74), CASE)
    assert gone.lifted == Lifted(Load.VESSEL, mg(400), mg(220))
    assert gone.masses.vessel_mg == VESSEL_MG
    assert [each.key for each in gone.made] == [Key(FILL, 1, 1)]


def test_a_vessel_that_never_showed_leaves_the_known_ones_mass_alone() -> None:
    unseen = full_vessel(empty_g=0).but(bare_mg=0, masses=Masses(vessel_mg=VESSEL_MG))
    gone = lifted(unseen, plateau(220, 60, 70), plateau(0, 71, 74), CASE)
    assert gone.masses.vessel_mg == VESSEL_MG


@pytest.mark.parametrize(("filled", "pitcher"), [(3, 1), (4, 2)])
def test_with_its_last_vessel_a_pitcher_gives_way_to_the_next(filled: int, pitcher: int) -> None:
    case = case_of(vessels=7)  # four from the first pitcher
    move = (plateau(400, 60, 70), plateau(0, 71, 74))
    gone = lifted(full_vessel(filled=filled), *move, case)
    assert gone.pitcher == pitcher
    assert gone.stage is (Stage.POUR if pitcher == 1 else Stage.WAX)


def test_the_last_pitcher_has_none_after_it() -> None:
    gone = lifted(full_vessel(filled=3), plateau(400, 60, 70), plateau(0, 71, 74), CASE)
    assert (gone.pitcher, gone.stage) == (1, Stage.POUR)


# ---------------------------------------------------------------- how likely


def test_down_to_the_bare_pan_is_a_lift_and_elsewhere_is_hardly_one() -> None:
    to_bare = lifts_of(full_pitcher().but(bare_mg=mg(5)), step(976.0, 5.0))
    elsewhere = lifts_of(full_pitcher().but(bare_mg=mg(5)), step(976.0, 60.0))
    assert to_bare[0][1].load is Load.NOTHING
    assert to_bare[0][0] + 5.0 < elsewhere[0][0]


def test_a_pitcher_is_lifted_the_likelier_the_further_it_has_come() -> None:
    costs = [
        lifting(Scene(Load.PITCHER, stage=stage), CASE)
        for stage in (Stage.WAX, Stage.FRAGRANCE, Stage.BLEND, Stage.POUR)
    ]
    assert costs == sorted(costs, reverse=True)
    assert costs[-1] < costs[0]


def test_a_full_vessel_is_lifted_rather_than_an_empty_one() -> None:
    assert lifting(full_vessel(), CASE) + 1.0 < lifting(full_vessel().but(open=None), CASE)


def test_a_pan_that_was_never_bare_is_known_by_the_pitchers_mass() -> None:
    tared = full_pitcher(bare_g=None).shifted(-PITCHER_MG)
    known = lifts_of(tared, step(666.0, -310.0))[0]
    other = lifts_of(tared, step(666.0, -250.0))[0]
    assert known[0] + 3.0 < other[0]
    assert known[1].bare_mg == mg(-310)


def test_who_tares_unseen_and_lifts_shows_zero_and_that_is_a_habit() -> None:
    # The bare pan would show -310 g; it shows zero, so somebody pressed the key meanwhile.
    unshown = full_pitcher(bare_g=-310).but(masses=Masses())
    found = lifts_of(unshown, step(666.0, 0.0))
    cost, gone = found[0]
    assert (gone.bare_mg, gone.habits.unseen) == (0, True)
    again = lifts_of(unshown.but(habits=Habits(unseen=True)), step(666.0, 0.0))[0][0]
    odd = lifts_of(unshown.but(masses=Masses(pitcher_mg=PITCHER_MG)), step(666.0, 0.0))[0][0]
    assert again < cost < odd


def test_only_a_display_at_zero_over_a_pan_that_was_bare_shows_a_tare_unseen() -> None:
    assert len(lifts_of(full_pitcher(bare_g=-310), step(666.0, 0.0))) == 2
    assert len(lifts_of(full_pitcher(bare_g=-310), step(666.0, -310.0))) == 1
    assert len(lifts_of(full_pitcher(bare_g=None), step(976.0, 0.0))) == 1


def test_some_grams_left_on_the_pan_or_taken_with_it_are_no_other_lift() -> None:
    above, below, far = (
        lifts_of(full_pitcher(bare_g=20), step(976.0, shown_g))[0][0]
        for shown_g in (26.0, 14.0, 60.0)
    )
    assert above == pytest.approx(below, abs=0.2)
    assert above + 5.0 < far


def test_something_that_nobody_told_of_may_leave_a_bare_pan() -> None:
    ((cost, after),) = lifts_of(Scene(bare_mg=mg(400)), step(400, 0))
    assert (after.load, after.bare_mg) == (Load.NOTHING, 0)
    assert cost > 4.0


@pytest.mark.parametrize(
    ("shown_g", "division_g", "zero"),
    [(0.0, 0.1, True), (-0.6, 0.1, True), (0.7, 0.1, False), (1.2, 1.0, True), (1.3, 1.0, False)],
)
def test_zero_is_told_as_closely_as_the_division_allows(
    shown_g: float, division_g: float, zero: bool
) -> None:
    assert at_zero(plateau(shown_g), case_of(division_g=division_g)) is zero


# ---------------------------------------------------------------- left short, seen late


def test_fragrance_is_hardly_left_short() -> None:
    whole = full_pitcher()
    short = whole.but(open=addition_of(FRAGRANCE, 35.0, base_g=926.7))
    assert lifting(short, CASE) > lifting(whole, CASE) + 1.0


def test_a_vessel_that_was_put_and_tared_unseen_shows_when_it_is_lifted() -> None:
    unseen = full_vessel(empty_g=0.0).but(bare_mg=mg(0.3))  # nearly: a scale trembles
    _, after = lifts_of(unseen, step(220, -180))[0]
    assert (after.load, after.bare_mg) == (Load.NOTHING, mg(-180))
    assert after.masses.vessel_mg == VESSEL_MG
