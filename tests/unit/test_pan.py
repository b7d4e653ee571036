"""What the pan carries, told from plateaus."""

import pytest

from collector.pan import Lifted, Load, Pan, same_mass


def test_a_tared_pitcher_that_goes_to_zero_was_tared_again() -> None:
    pan = Pan()
    pan.put_on(Load.PITCHER, 0, 310_000)
    assert pan.zero_from(600_000, 600_000, swapped=False)
    assert (pan.load, pan.container_mg) == (Load.PITCHER, -600_000)


def test_an_untared_pitcher_that_goes_to_zero_may_be_gone() -> None:
    pan = Pan()
    pan.put_on(Load.PITCHER, 310_000, 310_000)
    assert not pan.zero_from(910_000, 600_000, swapped=False)
    assert (pan.load, pan.container_mg) == (Load.UNKNOWN, None)
    assert pan.zeroed is not None
    assert pan.zeroed.load is Load.PITCHER


def test_a_full_vessel_that_goes_to_zero_was_lifted() -> None:
    pan = Pan()
    pan.put_on(Load.VESSEL, 180_000, 180_000)
    assert not pan.zero_from(400_000, 220_000, swapped=True)
    assert pan.lifted == Lifted(Load.VESSEL, 400_000, 220_000)


def test_a_tared_pitcher_stays_even_where_a_vessel_would_be_swapped() -> None:
    pan = Pan()
    pan.put_on(Load.PITCHER, 0, 310_000)
    assert pan.zero_from(666_000, 666_000, swapped=True)
    assert pan.load is Load.PITCHER


def test_what_was_lifted_is_known_again_by_its_mass() -> None:
    pan = Pan()
    pan.put_on(Load.PITCHER, 310_000, 310_000)
    pan.take_off(910_000, 600_000)
    assert pan.load is Load.NOTHING
    assert pan.put_back(911_000) == Lifted(Load.PITCHER, 910_000, 600_000)
    assert pan.put_back(870_000) is None


def test_a_bare_fill_is_not_taken_for_the_one_before_it() -> None:
    pan = Pan()
    pan.certain(Load.VESSEL, 0)
    pan.zero_from(220_000, 220_000, swapped=True)
    assert pan.put_back(220_000) is None


def test_an_empty_pitcher_off_the_scale_is_remembered_with_its_mass() -> None:
    pan = Pan()
    pan.put_on(Load.PITCHER, 310_000, 310_000)
    pan.zero_from(310_000, 0, swapped=False)
    assert pan.empty_away_mg == 310_000
    full = Pan()
    full.put_on(Load.PITCHER, 310_000, 310_000)
    full.take_off(900_000, 590_000)
    assert full.empty_away_mg is None


@pytest.mark.parametrize(
    ("below_mg", "load"),
    [(-250_000, Load.NOTHING), (-400_000, Load.UNKNOWN), (-183_000, Load.UNKNOWN)],
)
def test_a_pan_below_zero_that_is_zeroed_is_bare_unless_a_known_mass_explains_it(
    below_mg: int, load: Load
) -> None:
    pan = Pan()
    pan.put_on(Load.VESSEL, 0, 180_000)
    pan.take_off(400_000, 220_000)  # the same vessel may come back, or the next empty one
    assert not pan.zero_again(below_mg)
    assert pan.load is load


def test_a_pitcher_weighs_the_same_again_and_no_vessel_does() -> None:
    pan = Pan()
    pan.put_on(Load.PITCHER, 310_000, 310_000)
    assert pan.is_pitcher(310_500)
    assert not pan.is_pitcher(180_000)
    pan.put_on(Load.VESSEL, 309_000, 309_000)
    assert not pan.is_pitcher(310_000)


def test_a_scale_learns_that_it_shows_pitchers_when_one_goes() -> None:
    pan = Pan()
    pan.certain(Load.PITCHER, 0)
    assert not pan.pitcher_seen
    pan.take_off(910_000, 600_000)
    assert pan.pitcher_seen
    assert pan.containers_seen


@pytest.mark.parametrize(
    ("left_mg", "right_mg", "same"),
    [(180_000, 182_900, True), (180_000, 183_100, False), (1_800_000, 1_808_000, True)],
)
def test_two_masses_are_the_same_within_a_drip(left_mg: int, right_mg: int, same: bool) -> None:
    assert same_mass(left_mg, right_mg) is same
