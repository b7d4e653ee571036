"""The slope of a minute, against numpy's straight line and against arithmetic."""

import random

import numpy as np
import pytest

from collector.rates import Rate

SECOND = 1_000_000


def test_a_steady_rise_is_its_own_rate() -> None:
    rate = Rate()
    found = [rate.feed(second * SECOND, 20_000 + second * 25) for second in range(120)]
    assert found[29] is None
    assert found[30] == 1_500  # 0.025 °C a second
    assert set(found[30:]) == {1_500}


def test_too_few_readings_are_no_rate() -> None:
    rate = Rate()
    assert [rate.feed(second * SECOND, 20_000) for second in (0, 20, 40, 59)] == [None] * 4


def test_only_the_last_minute_counts() -> None:
    rate = Rate()
    for second in range(300):
        rate.feed(second * SECOND, 20_000 + second * 100)
    level = [rate.feed(second * SECOND, 50_000) for second in range(300, 361)]
    assert level[-1] == 0


def test_a_time_without_readings_begins_afresh() -> None:
    rate = Rate()
    for second in range(60):
        rate.feed(second * SECOND, 20_000 + second * 100)
    assert rate.feed(600 * SECOND, 80_000) is None


@pytest.mark.parametrize("seed", range(5))
def test_the_slope_is_that_of_numpy(seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311 - noise, no secret
    rate, points, now_us = Rate(), [], 1_764_072_000_000_000
    for _ in range(400):
        now_us += chance.randint(300_000, 1_500_000)
        points.append((now_us, round(chance.gauss(80_000, 400))))
        found = rate.feed(*points[-1])
    recent = [(t, v) for t, v in points if t > now_us - 60 * SECOND]
    minutes = np.array([(t - now_us) / 60e6 for t, _ in recent])
    slope, _ = np.polyfit(minutes, np.array([v for _, v in recent], dtype=float), 1)
    assert found == pytest.approx(slope, abs=0.6)
