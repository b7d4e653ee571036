"""Settling, told from readings alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.readings import Quality, Reading
from collector.weighings import Motion, Scale, Settler, Step

FIFTH_US = 200_000


def feed(
    settler: Settler, values_mg: list[int], start_us: int = 0, quality: Quality = Quality.GOOD
) -> list[Step | Motion]:
    """Feed values five times a second and return what came of them."""
    found = [
        settler.feed(Reading("scale", start_us + place * FIFTH_US, value, quality))
        for place, value in enumerate(values_mg)
    ]
    return [item for item in found if item is not None]


def test_a_scale_is_unknown_until_it_has_rested() -> None:
    settler = Settler()
    states = []
    for place in range(4):
        feed(settler, [100_000], start_us=place * FIFTH_US)
        states.append(settler.state)
    assert states == [Scale.UNKNOWN] * 3 + [Scale.RESTING]
    assert settler.plateau is not None
    assert settler.plateau.value_mg == 100_000


def test_a_scale_that_sends_twice_a_second_rests_after_three_readings() -> None:
    settler = Settler()
    for place in range(3):
        settler.feed(Reading("scale", place * 500_000, 50_000))
    assert settler.state is Scale.RESTING


def test_a_jump_is_one_abrupt_step_from_plateau_to_plateau() -> None:
    settler = Settler()
    found = feed(settler, [0] * 10 + [180_000] * 10)
    (step,) = [item for item in found if isinstance(item, Step)]
    assert (step.before.value_mg, step.after.value_mg, step.change_mg) == (0, 180_000, 180_000)
    assert step.abrupt
    assert step.after.steady_us == 10 * FIFTH_US


def test_a_pour_is_a_step_that_is_not_abrupt() -> None:
    poured = [place * 3_980 for place in range(50)]
    found = feed(Settler(), [0] * 10 + poured + [199_000] * 10)
    (step,) = [item for item in found if isinstance(item, Step)]
    assert step.change_mg == 199_000
    assert not step.abrupt
    late = [item for item in found if isinstance(item, Motion)][-5:]
    assert late
    assert not any(motion.abrupt for motion in late)


def test_a_motion_knows_how_far_and_how_long_it_went() -> None:
    found = feed(Settler(), [0] * 10 + [5_100, 10_250])
    motion = found[-1]
    assert isinstance(motion, Motion)
    assert (motion.change_mg, motion.lasted_us) == (10_250, 2 * FIFTH_US)


@given(st.lists(st.integers(-1, 1), min_size=30, max_size=60), st.sampled_from([100, 1000]))
def test_a_display_that_flickers_by_one_division_rests(flicker: list[int], division: int) -> None:
    settler = Settler()
    found = feed(settler, [220_000 + step * division for step in flicker])
    assert not [item for item in found if isinstance(item, Step)]
    assert settler.plateau is not None
    assert abs(settler.plateau.value_mg - 220_000) <= division


def test_a_scale_rests_before_it_says_so_itself() -> None:
    settler = Settler()
    feed(settler, [90_000] * 20, quality=Quality.IN_MOTION)
    assert settler.state is Scale.RESTING


def test_a_number_flagged_under_zero_is_a_load_that_was_lifted() -> None:
    settler = Settler()
    feed(settler, [-376_600] * 10, quality=Quality.SUSPECT)
    assert settler.plateau is not None
    assert settler.plateau.value_mg == -376_600


@pytest.mark.parametrize("quality", [Quality.SUSPECT, Quality.BAD])
def test_a_doubtful_reading_interrupts_the_rest_and_leaves_the_plateau(quality: Quality) -> None:
    settler = Settler()
    feed(settler, [90_000] * 10)
    settler.feed(Reading("scale", 2_000_000, 0, quality))
    assert settler.state is Scale.MOVING
    assert settler.plateau is not None
    assert settler.plateau.value_mg == 90_000


def test_the_time_at_rest_counts_from_where_the_value_came_to_be() -> None:
    settler = Settler()
    feed(settler, [0] * 10 + [50_000] * 20)
    assert settler.plateau is not None
    assert settler.plateau.rested_us() == 19 * FIFTH_US


def test_a_plateau_numbers_the_readings_it_rests_on() -> None:
    settler = Settler()
    feed(settler, [10_000] * 6)
    assert settler.plateau is not None
    assert (settler.plateau.first, settler.plateau.last) == (1, 6)
