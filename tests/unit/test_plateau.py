"""The plateau of ASTM D87: readings every 15 s, the first five that agree within 0.1 °C."""

import pytest
from curves_made import setting_curve, steady_fall

from collector.plateau import plateau, since_the_top, slowing
from collector.trace import Trace

FALL = [58_400, 57_700, 57_050, 56_400, 55_800, 55_200, 54_600]


def test_the_first_five_that_agree_are_the_plateau_and_its_mean_the_result() -> None:
    five = [54_100, 54_050, 54_050, 54_000, 54_050]
    found = plateau([*FALL, *five, 54_000, 53_900, 53_200])
    assert found is not None
    # Mean 54.05 °C
    assert (found.mdegc, found.first) == (54_050, len(FALL))


@pytest.mark.parametrize(
    ("high", "low"),
    [
        # As floats 57.05 - 56.95 is less than 0.1, 50.15 - 50.05 more: both are 0.1 °C exactly.
        (57_050, 56_950),
        (50_150, 50_050),
    ],
)
def test_a_tenth_of_a_degree_exactly_agrees(high: int, low: int) -> None:
    fall = [high + 600 * n for n in range(7, 0, -1)]
    found = plateau([*fall, high, low, high, low, high])
    assert found is not None
    assert found.first == len(fall)
    assert plateau([*fall, high, low - 1, high, low - 1, high]) is None


def test_the_result_is_given_to_a_twentieth_of_a_degree() -> None:
    found = plateau([*FALL, 54_060, 54_060, 54_060, 54_080, 54_080])  # mean 54.068
    assert found is not None
    assert found.mdegc == 54_050
    found = plateau([*FALL, 54_060, 54_080, 54_080, 54_080, 54_080])  # mean 54.076
    assert found is not None
    assert found.mdegc == 54_100


def test_four_that_agree_are_not_enough() -> None:
    assert plateau([*FALL, 54_050, 54_050, 54_050, 54_050, 53_900]) is None


@pytest.mark.parametrize("per_reading", [0, 5, 10, 24, 25, 26, 50, 75, 200, 400])
def test_a_steady_fall_has_no_plateau_however_slow(per_reading: int) -> None:
    assert plateau([80_000 - per_reading * n for n in range(80)]) is None


def test_wax_that_was_melted_again_begins_anew() -> None:
    again = [*FALL, 54_000, 54_000, 54_000, 54_000, 54_000, 60_000, 70_000, 69_000, 68_000]
    assert since_the_top(again) == [70_000, 69_000, 68_000]
    assert since_the_top([]) == []


def test_a_curve_that_flattens_against_its_law_is_slowing() -> None:
    flattening, setting = False, setting_curve(setting_degc=56.0)
    trace = Trace()
    for second, mdegc in setting:
        trace.feed(second * 1_000_000, mdegc)
        if second % 5 == 0:
            now = slowing(trace.curve(second * 1_000_000))
            assert not (now and mdegc > 57_500), "it flattens only near where it sets"
            flattening = flattening or now
    assert flattening


def test_a_steady_fall_never_slows() -> None:
    trace = Trace()
    for second, mdegc in steady_fall(1800):
        trace.feed(second * 1_000_000, mdegc)
        if second % 20 == 0:
            assert not slowing(trace.curve(second * 1_000_000))


def test_a_fall_that_only_becomes_slower_toward_the_room_has_no_plateau() -> None:
    readings = [40_000]
    for n in range(64):
        readings.append(readings[-1] - (60 - n * 3 // 5))
    # In the end five of them agree within 0.1 °C: they still fall by 0.024 °C each.
    assert readings[-5] - readings[-1] <= 100
    assert plateau(readings) is None
