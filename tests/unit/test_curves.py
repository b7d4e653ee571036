"""A curve with fewer points."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from collector.curves import LEAST_POINTS, reduce_curve


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


STEPS_US = st.one_of(st.integers(1, 3), st.integers(400_000, 600_000), st.integers(1, 2**55))


@given(
    st.integers(-(2**60), 2**60),
    st.lists(st.tuples(STEPS_US, st.integers(-(2**63), 2**63 - 1)), min_size=1, max_size=120),
    st.integers(2, 60),
)
def test_every_piece_of_time_keeps_its_peak_and_its_trough(
    first_us: int, steps: list[tuple[int, int]], points: int
) -> None:
    times = first_us + np.cumsum([0, *(step for step, _ in steps[1:])])
    values = np.array([value for _, value in steps], np.int64)
    kept_t, kept_v = reduce_curve(times, values, points)
    assert len(kept_t) <= max(points, LEAST_POINTS)
    assert (kept_t[0], kept_t[-1]) == (times[0], times[-1])
    pieces = max(1, (points - 2) // 2)
    lasts_us = int(times[-1]) - int(times[0]) + 1
    whole = extremes([(int(t) - int(times[0])) * pieces // lasts_us for t in times], values)
    kept = extremes([(int(t) - int(times[0])) * pieces // lasts_us for t in kept_t], kept_v)
    assert len(times) <= points or kept == whole


def extremes(pieces: list[int], values: NDArray[np.int64]) -> dict[int, tuple[int, int]]:
    """Return the least and the greatest value of each piece."""
    found: dict[int, tuple[int, int]] = {}
    for piece, value in zip(pieces, values.tolist(), strict=True):
        least, greatest = found.get(piece, (value, value))
        found[piece] = (min(least, value), max(greatest, value))
    return found


def test_a_curve_of_few_points_still_has_its_peak_and_its_trough() -> None:
    values = np.array([5, 9, 1, 5, 5, 5], np.int64)
    kept_t, kept_v = reduce_curve(np.arange(6, dtype=np.int64), values, 2)
    assert (kept_t.tolist(), kept_v.tolist()) == ([0, 1, 2, 5], [5, 9, 1, 5])
