"""Newton's law against the worked examples of OpenStax, Calculus Volume 2, section 2.8.

Exact values follow from the law itself; where the book prints a rounded one it is named.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.curves import Cooling, fit_cooling, reduce_curve

MINUTE_US = 60_000_000
SECOND = 1_000_000


def fahrenheit(degrees: float) -> float:
    return (degrees - 32) * 5000 / 9


def cooling(start: float, after: float, minutes: float, ambient: float) -> Cooling:
    """The law through two points given in °F."""
    rate = math.log((start - ambient) / (after - ambient)) / (minutes * 60)
    return Cooling(0, fahrenheit(start), round(fahrenheit(ambient)), rate)


@pytest.mark.parametrize(
    ("curve", "target", "minutes"),
    [
        # coffee 200 -> 180 °F in 2 min in a room of 70 °F
        (cooling(200, 180, 2, 70), 175, 2.56),
        (cooling(200, 180, 2, 70), 155, 5.09),
        # coffee 200 -> 185 °F in 2 min in a room of 75 °F: 3.491 and 6.982 min exactly
        # pizza 200 -> 190 °F in 1 min in a room of 75 °F; printed 6.12
        (cooling(200, 190, 1, 75), 150, 6.126),
        # cheesecake 165 -> 150 °F in 10 min at 35 °F; 106.68 printed with k rounded
        (cooling(165, 150, 10, 35), 70, 107.03),
    ],
)
def test_the_time_to_a_temperature_is_that_of_the_book(
    curve: Cooling, target: float, minutes: float
) -> None:
    left_us = curve.us_until(round(fahrenheit(target)))
    assert left_us is not None
    assert left_us / MINUTE_US == pytest.approx(minutes, abs=0.006)


def test_a_temperature_at_or_below_the_room_is_never_reached() -> None:
    assert cooling(200, 180, 2, 70).us_until(round(fahrenheit(70))) is None


def test_a_temperature_that_was_passed_is_reached_now() -> None:
    assert cooling(200, 180, 2, 70).us_until(round(fahrenheit(210))) == 0


def curve_points(rate_per_s: float, seconds: int) -> list[tuple[int, int]]:
    return [
        (s * SECOND, round(22_000 + 62_000 * math.exp(-rate_per_s * s))) for s in range(seconds)
    ]


@given(st.floats(1e-4, 3e-3), st.integers(60, 400))
def test_a_fit_finds_the_rate_that_made_the_curve(rate_per_s: float, seconds: int) -> None:
    points = curve_points(rate_per_s, seconds)
    fitted = fit_cooling(points, 22_000, points[-1][0])
    assert fitted is not None
    assert fitted.rate_per_s == pytest.approx(rate_per_s, rel=0.01)
    assert fitted.mdegc == pytest.approx(points[-1][1], abs=5)


def test_a_plateau_or_a_short_piece_gives_no_number() -> None:
    flat = [(s * SECOND, 57_000) for s in range(200)]
    assert fit_cooling(flat, 22_000, 200 * SECOND) is None
    assert fit_cooling(curve_points(1e-3, 29), 22_000, 29 * SECOND) is None
    rising = [(s * SECOND, 57_000 + 10 * s) for s in range(200)]
    assert fit_cooling(rising, 22_000, 200 * SECOND) is None


def test_a_curve_below_the_room_gives_no_number() -> None:
    cold = [(s * SECOND, 20_000 - s) for s in range(200)]
    assert fit_cooling(cold, 22_000, 200 * SECOND) is None


@given(
    st.lists(st.integers(-5_000, 95_000), min_size=1, max_size=3000),
    st.integers(4, 500),
    st.integers(1, 5_000_000),
)
def test_a_reduced_curve_keeps_its_ends_and_its_extremes(
    values: list[int], points: int, period_us: int
) -> None:
    times = np.arange(len(values), dtype=np.int64) * period_us
    kept_t, kept_v = reduce_curve(times, np.array(values, dtype=np.int64), points)
    assert len(kept_t) <= points or len(values) <= points
    assert (kept_t[0], kept_t[-1]) == (times[0], times[-1])
    assert (kept_v[0], kept_v[-1]) == (values[0], values[-1])
    assert (kept_v.min(), kept_v.max()) == (min(values), max(values))
    assert list(kept_t) == sorted(set(kept_t))
    assert all(values[int(t) // period_us] == v for t, v in zip(kept_t, kept_v, strict=True))


@given(st.lists(st.integers(0, 2999), min_size=1, max_size=8, unique=True))
def test_every_lone_peak_of_a_reduced_curve_stays(peaks: list[int]) -> None:
    values = np.full(3000, 60_000, dtype=np.int64)
    apart = [peak for peak in sorted(peaks) if not any(0 < peak - other < 40 for other in peaks)]
    for place, peak in enumerate(apart):
        values[peak] = 90_000 if place % 2 else 20_000
    kept_t, _kept_v = reduce_curve(np.arange(3000, dtype=np.int64), values, 202)
    assert set(apart) <= set(kept_t.tolist())
