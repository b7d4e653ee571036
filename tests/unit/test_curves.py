"""A curve with fewer points."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from collector.curves import reduce_curve


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
