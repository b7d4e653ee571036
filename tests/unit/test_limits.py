"""Deadband and delay against a published case and a published simulation.

ISA-18.2 and IEC 62682 name on-delay, off-delay and deadband; OPC 10000-9 B.1.5 defines them. The
numbers of the case follow from those definitions.
"""

import random

import pytest

from collector.limits import Crossing, LimitSpec, LimitWatch
from collector.rules import over_temperature_limit

SECOND = 1_000_000
CASE = LimitSpec(high=88_000, deadband=1_000, on_delay_us=60 * SECOND, off_delay_us=0)


def test_a_value_above_the_limit_for_less_than_the_delay_is_no_alarm() -> None:
    watch = LimitWatch(CASE)
    values = [88_500] * 60 + [87_900] + [88_500] * 59
    assert [watch.feed(s * SECOND, value) for s, value in enumerate(values)] == [None] * 120


def test_a_value_above_the_limit_all_the_time_is_an_alarm_at_the_delay() -> None:
    watch = LimitWatch(CASE)
    found = [watch.feed(second * SECOND, 88_500) for second in range(90)]
    assert found.index(Crossing.VIOLATED) == 60
    assert found.count(Crossing.VIOLATED) == 1


def test_an_alarm_clears_only_below_limit_less_deadband() -> None:
    watch = LimitWatch(CASE)
    for second in range(61):
        watch.feed(second * SECOND, 88_500)
    assert watch.feed(61 * SECOND, 87_000) is None
    assert watch.violated
    assert watch.feed(62 * SECOND, 86_999) is Crossing.KEPT


def test_a_value_at_the_limit_keeps_it() -> None:
    watch = LimitWatch(CASE)
    assert [watch.feed(s * SECOND, 88_000) for s in range(120)] == [None] * 120


def test_a_limit_may_have_a_lower_bound_or_both() -> None:
    both = LimitSpec(low=20_000, high=24_000, deadband=500, on_delay_us=0, off_delay_us=0)
    values = [22_000, 19_999, 20_400, 20_501, 24_001, 19_000, 23_500, 23_499]
    watch = LimitWatch(both)
    assert [watch.feed(second, value) for second, value in enumerate(values)] == [
        None,
        Crossing.VIOLATED,
        None,
        Crossing.KEPT,
        Crossing.VIOLATED,
        None,
        None,
        Crossing.KEPT,
    ]


@pytest.mark.parametrize("seed", range(20))
def test_a_noisy_probe_at_the_limit_for_an_hour_is_one_alarm(seed: int) -> None:
    # A simulation of Gaussian noise, sigma 0.4, centred on the limit at 1 Hz, raises a median of
    # 900 alarms without deadband and delay.
    chance = random.Random(seed)  # noqa: S311 - noise, no secret
    watch = LimitWatch(over_temperature_limit(93_000))
    found = [
        watch.feed(second * SECOND, 93_000 + round(chance.gauss(0, 400))) for second in range(3600)
    ]
    assert found.count(Crossing.VIOLATED) == 1
    assert found.count(Crossing.KEPT) == 0
