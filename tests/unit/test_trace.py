"""The piece of a curve since the last disturbance."""

import numpy as np
import pytest
from curves_made import cooling_curve

from collector.trace import MEMORY_US, Curve, Trace, latest_piece, noise_mdegc

SECOND = 1_000_000


def curve_of(points: list[tuple[int, int]]) -> Curve:
    trace = Trace()
    for second, mdegc in points:
        trace.feed(second * SECOND, mdegc)
    return trace.curve((points[-1][0] + 1) * SECOND)


def test_a_slice_is_the_mean_of_its_readings_once_it_is_over() -> None:
    trace = Trace()
    for second, value in enumerate([80_000, 80_100, 80_200, 80_300, 80_400, 99_000]):
        trace.feed(second * SECOND, value)
    curve = trace.curve(9 * SECOND)
    assert (curve.at_us, curve.mdegc.tolist(), curve.counts.tolist()) == (5 * SECOND, [80_200], [5])
    assert curve.seconds.tolist() == [-3.0]


def test_what_is_older_than_the_memory_is_forgotten() -> None:
    trace = Trace()
    for second in range(0, 3000, 5):
        trace.feed(second * SECOND, 80_000)
    assert len(trace.curve(3000 * SECOND).mdegc) <= MEMORY_US // (5 * SECOND) + 1


def test_readings_in_regular_distance_end_at_a_gap() -> None:
    trace = Trace()
    for second in [*range(100), *range(130, 200)]:
        trace.feed(second * SECOND, 80_000 - 10 * second)
    # Slices that end at 135, 150, 165, 180 and 195 s: of the readings 130 to 134 and so on.
    assert trace.readings_every(15 * SECOND, 200 * SECOND) == [
        78_680,
        78_530,
        78_380,
        78_230,
        78_080,
    ]


def test_a_cooling_without_a_disturbance_is_one_piece() -> None:
    for rate in (2e-4, 4e-4, 9e-4):
        curve = curve_of(list(cooling_curve(rate, 900)))
        assert len(latest_piece(curve).mdegc) == len(curve.mdegc)


@pytest.mark.parametrize("fall", [800, 2_000, 4_000])
def test_a_chill_by_fragrance_ends_a_piece(fall: int) -> None:
    points = [(s, v - fall * min(max(s - 300, 0), 15) // 15) for s, v in cooling_curve(4e-4, 600)]
    began = float(latest_piece(curve_of(points)).seconds[0])
    assert 300 - 600 < began < 350 - 600


def test_a_pitcher_taken_out_of_a_bath_begins_a_piece() -> None:
    first = list(cooling_curve(3e-3, 200))
    start = first[-1][1] / 1000
    points = [*first, *((s + 200, v) for s, v in cooling_curve(4e-4, 400, start))]
    assert -410 < float(latest_piece(curve_of(points)).seconds[0]) < -350


def test_a_gap_in_the_readings_ends_a_piece() -> None:
    points = [(s, v) for s, v in cooling_curve(4e-4, 900) if not 300 <= s < 500]
    assert float(latest_piece(curve_of(points)).seconds[0]) > -405


def test_the_noise_of_a_curve_is_found_under_its_fall() -> None:
    # Normal noise of 50 on a straight fall; the median's own error is some percent.
    noise = np.random.default_rng(1).normal(0, 50, 200)
    seconds = np.arange(200, dtype=np.float64) * 5 - 1000
    mdegc = np.array(80_000 - 15 * seconds + noise, dtype=np.float64)
    curve = Curve(0, seconds, mdegc, np.full(200, 5.0))
    assert noise_mdegc(curve) == pytest.approx(50, rel=0.25)


def test_a_thinned_curve_keeps_the_mean_and_every_reading() -> None:
    curve = curve_of(list(cooling_curve(4e-4, 900)))
    thin = curve.thinned(32)
    assert len(thin.mdegc) <= 32
    assert thin.counts.sum() == curve.counts.sum()
    whole = (curve.mdegc * curve.counts).sum()
    assert (thin.mdegc * thin.counts).sum() == pytest.approx(whole)
