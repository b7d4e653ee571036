"""The simulated pan: it settles, trembles, can be tared, leaned on and overloaded."""

import pytest

from simulators.noise import seeded
from simulators.physics.pan import STEADY_COUNT, Display, Pan

STEP_S = 0.05
SHOW_EVERY = 4  # steps: five displays a second


def watch(pan: Pan, load_g: float, seconds: float) -> list[Display]:
    """Return what the pan shows while it carries `load_g`."""
    shown = []
    for step in range(round(seconds / STEP_S)):
        pan.update(STEP_S, load_g)
        if step % SHOW_EVERY == SHOW_EVERY - 1:
            shown.append(pan.show())
    return shown


@pytest.fixture
def pan() -> Pan:
    return Pan(seeded(3))


def test_a_load_settles_within_a_second(pan: Pan) -> None:
    shown = watch(pan, 212.0, 2.0)
    assert all(abs(display.grams - 212.0) <= 0.2 for display in shown[4:])
    assert shown[-1].stable


def test_the_swing_is_down_to_two_percent_after_0_4_seconds(pan: Pan) -> None:
    # A decay of 10 per second: exp(-4) = 0.018.
    first, second = watch(pan, 1000.0, 0.4)
    assert abs(first.grams - 1000.0) > 20.0
    assert abs(second.grams - 1000.0) < 30.0


def test_a_load_in_motion_is_not_called_stable(pan: Pan) -> None:
    shown = watch(pan, 500.0, 0.6)
    assert not any(display.stable for display in shown)


def test_a_quiet_pan_trembles_by_no_more_than_a_tenth(pan: Pan) -> None:
    shown = watch(pan, 300.0, 60.0)[10:]
    masses = {round(display.grams, 1) for display in shown}
    assert masses == {299.9, 300.0, 300.1}
    assert all(display.stable for display in shown)


def test_tare_makes_what_is_shown_zero_and_what_is_taken_off_negative(pan: Pan) -> None:
    watch(pan, 212.0, 2.0)
    pan.tare()
    tared = watch(pan, 212.0, 2.0)[-1]
    assert tared.grams == pytest.approx(0.0, abs=0.2)
    assert tared.tared
    assert watch(pan, 0.0, 2.0)[-1].grams == pytest.approx(-212.0, abs=0.3)


def test_after_a_tare_the_pan_has_to_settle_anew(pan: Pan) -> None:
    watch(pan, 212.0, 2.0)
    pan.tare()
    shown = watch(pan, 212.0, STEADY_COUNT * 0.2)
    assert [display.stable for display in shown] == [False] * (STEADY_COUNT - 1) + [True]


def test_a_coarse_scale_shows_whole_grams() -> None:
    shown = watch(Pan(seeded(3), resolution_g=1.0), 123.4, 2.0)
    assert shown[-1].grams == 123.0


def test_too_much_load_is_an_overload(pan: Pan) -> None:
    assert watch(pan, 6100.0, 2.0)[-1].overload
    assert not watch(pan, 5900.0, 2.0)[-1].overload


def test_stirring_on_the_pan_keeps_it_in_motion(pan: Pan) -> None:
    watch(pan, 1500.0, 2.0)
    pan.stirring = True
    shown = watch(pan, 1500.0, 30.0)[STEADY_COUNT:]
    masses = [display.grams for display in shown]
    assert not any(display.stable for display in shown)
    assert 15.0 < max(masses) - min(masses) < 60.0


def test_a_hand_on_the_pan_weighs_along_until_it_is_gone(pan: Pan) -> None:
    pan.hand_g = 80.0
    assert watch(pan, 200.0, 2.0)[-1].grams == pytest.approx(280.0, abs=0.2)
    pan.hand_g = 0.0
    assert watch(pan, 200.0, 2.0)[-1].grams == pytest.approx(200.0, abs=0.2)


def test_the_swing_does_not_depend_on_the_length_of_the_steps() -> None:
    fine, coarse = Pan(seeded(3)), Pan(seeded(3))
    for _ in range(20):
        fine.update(0.01, 1000.0)
    coarse.update(0.2, 1000.0)
    assert fine.show().grams == coarse.show().grams


def test_the_same_seed_trembles_the_same_way() -> None:
    once, again = (watch(Pan(seeded(9)), 50.0, 5.0) for _ in range(2))
    assert once == again


@pytest.mark.parametrize("every_s", [0.1, 0.2, 0.5])
def test_a_scale_looks_as_long_for_rest_however_often_it_shows(every_s: float) -> None:
    pan = Pan(seeded(1))
    pan.show_every(every_s)
    seconds = 0.0
    pan.update(0.0, 200.0)
    while not pan.show().stable:
        pan.update(every_s, 200.0)
        seconds += every_s
    assert 0.5 <= seconds <= 1.5
