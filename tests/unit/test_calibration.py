"""What points come to, and which make no sense."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from collector.calibration import MOST_POINTS, Remark, fit
from collector.correction import UNITY_PPB, Correction, Point
from collector.errors import DocumentError
from collector.readings import Quantity

DS18B20 = 62
TENTH = 100


def heat(*points: tuple[int, int]) -> list[Point]:
    return [Point(reference, shown) for reference, shown in points]


def test_one_point_of_a_thermometer_is_an_offset_and_says_that_it_is_only_one() -> None:
    found = fit(heat((0, 400)), Quantity.TEMPERATURE, DS18B20)
    assert found.correction == Correction(-400, UNITY_PPB)
    assert (found.residuals, found.remarks) == ((0,), (Remark.ONE_POINT,))


def test_two_points_are_met_exactly() -> None:
    points = heat((0, 400), (99_974, 99_000))
    found = fit(points, Quantity.TEMPERATURE, DS18B20)
    assert [found.correction.apply(point.shown) for point in points] == [0, 99_974]
    assert (found.residuals, found.remarks) == ((0, 0), ())


def test_more_points_give_the_line_of_least_squares_and_what_is_left() -> None:
    """Held against numpy.polyfit, the general library's own least squares."""
    points = heat((0, 300), (37_000, 37_900), (60_000, 60_300), (99_974, 100_900))
    found = fit(points, Quantity.TEMPERATURE, DS18B20)
    shown, known = [p.shown for p in points], [p.reference for p in points]
    slope, offset = np.polyfit(shown, known, 1)
    assert found.correction.gain_ppb == pytest.approx(slope * UNITY_PPB, abs=2)
    assert found.correction.offset == pytest.approx(offset, abs=1)
    left = np.array(known) - (slope * np.array(shown) + offset)
    assert found.residuals == pytest.approx(left.tolist(), abs=1)
    assert Remark.NOT_STRAIGHT in found.remarks


@given(
    st.lists(
        st.tuples(st.integers(0, 100), st.integers(-1_000, 1_000)), min_size=2, max_size=MOST_POINTS
    )
)
def test_the_residuals_of_a_line_cancel(drawn: list[tuple[int, int]]) -> None:
    points = [Point(degc * 1000, degc * 1000 + off) for degc, off in drawn]
    try:
        found = fit(points, Quantity.TEMPERATURE, DS18B20)
    except DocumentError:
        assume(False)
        raise
    assert abs(sum(found.residuals)) <= len(points), "each is rounded"
    gain = Fraction(found.correction.gain_ppb, UNITY_PPB)
    for point, residual in zip(points, found.residuals, strict=True):
        line = gain * point.shown + found.correction.offset
        assert abs(point.reference - residual - line) <= 2


def test_a_scale_has_a_gain_and_never_an_offset() -> None:
    """Else every tared mass would be off by it: an empty pan's zero is set at each tare."""
    found = fit([Point(0, 300), Point(200_000, 199_500)], Quantity.MASS, TENTH)
    assert found.correction == Correction(0, 1_004_016_064, TENTH)
    assert found.residuals == (0, 0)
    assert found.correction.apply(0) == 0
    assert found.correction.apply(199_200) == 200_000, "the mass itself, after a tare"


def test_values_of_a_scale_of_which_little_is_known_are_not_rounded() -> None:
    found = fit([Point(0, 0), Point(200_000, 199_500)], Quantity.MASS, None)
    assert found.correction.step == 1


def test_what_is_right_already_is_said() -> None:
    scale = fit([Point(0, 0), Point(200_000, 200_000)], Quantity.MASS, TENTH)
    assert scale.remarks == (Remark.NOTHING_TO_CORRECT,)
    probe = fit(heat((0, 30)), Quantity.TEMPERATURE, DS18B20)
    assert probe.remarks == (Remark.ONE_POINT, Remark.NOTHING_TO_CORRECT)


NONSENSE = {
    "no points": (Quantity.TEMPERATURE, DS18B20, [], "one to 5 points"),
    "too many": (Quantity.TEMPERATURE, DS18B20, [(n * 9_000, 0) for n in range(6)], "not 6"),
    "far off": (Quantity.TEMPERATURE, DS18B20, [(0, 5_001)], "point 1.*wrong reference"),
    "no such heat": (Quantity.TEMPERATURE, DS18B20, [(300_000, 0)], "no reference for a thermo"),
    "close": (
        Quantity.TEMPERATURE,
        DS18B20,
        [(0, 100), (19_999, 20_100)],
        "known values are 19.999 °C apart.*needs 20 °C",
    ),
    "close for a display of whole degrees": (
        Quantity.TEMPERATURE,
        1_000,
        [(0, 0), (45_000, 45_000)],
        "needs 50 °C",
    ),
    "the same shown twice": (
        Quantity.TEMPERATURE,
        DS18B20,
        [(0, 3_000), (9_000, 4_100)],
        "too close",
    ),
    "steep": (
        Quantity.TEMPERATURE,
        DS18B20,
        [(0, 2_000), (40_000, 37_000)],
        "more than 5 % off",
    ),
    "a scale's one point": (Quantity.MASS, TENTH, [(200_000, 199_500)], "two points: empty"),
    "a pan that is not empty": (
        Quantity.MASS,
        TENTH,
        [(0, 4_100), (200_000, 204_000)],
        "tare it and begin again",
    ),
    "a light mass": (Quantity.MASS, TENTH, [(0, 0), (10_000, 10_000)], "needs 20 g"),
    "a light mass for a coarse scale": (
        Quantity.MASS,
        1_000,
        [(0, 0), (100_000, 100_000)],
        "needs 200 g",
    ),
    "less than nothing": (Quantity.MASS, TENTH, [(-1, 0), (200_000, 0)], "expected 0 to"),
    "a barometer": (Quantity.PRESSURE, 1, [(0, 0)], "only thermometers and scales"),
}


@pytest.mark.parametrize("case", NONSENSE)
def test_nonsense_is_refused_with_the_reason(case: str) -> None:
    quantity, resolution, points, reason = NONSENSE[case]
    with pytest.raises(DocumentError, match=reason):
        fit(heat(*points), quantity, resolution)
