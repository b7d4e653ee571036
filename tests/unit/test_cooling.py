"""Newton's law against the worked examples of OpenStax, Calculus Volume 2, section 2.8.

Exact values follow from the law itself; where the book prints a rounded one it is named.
"""

import math

import numpy as np
import pytest

from collector.cooling import Cooling, steepness, straightened

MINUTE_US = 60_000_000


def fahrenheit(degrees: float) -> float:
    return (degrees - 32) * 5000 / 9


def cooling(start: float, after: float, minutes: float, ambient: float) -> Cooling:
    """The law through two points given in °F."""
    rate = math.log((start - ambient) / (after - ambient)) / (minutes * 60)
    apart = fahrenheit(start) - fahrenheit(ambient)
    return Cooling(0, fahrenheit(start), round(fahrenheit(ambient)), rate * apart)


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


def test_free_convection_takes_longer_the_nearer_it_comes_to_the_room() -> None:
    # dT/dt = -c dT ** 1.25 has the solution dT ** -0.25 = dT0 ** -0.25 + c t / 4, by hand.
    curve = Cooling(0, 82_000.0, 22_000, 15.0, 1.25)
    c = 15.0 / 60_000**1.25
    seconds = 4 / c * (40_000**-0.25 - 60_000**-0.25)
    assert curve.us_until(62_000) == pytest.approx(seconds * 1e6, rel=1e-9)
    newton = Cooling(0, 82_000.0, 22_000, 15.0).us_until(62_000)
    assert newton is not None
    assert seconds * 1e6 > newton


@pytest.mark.parametrize("exponent", [0.0, 1.0, 1.08, 1.25])
def test_each_law_is_a_straight_line_once_straightened(exponent: float) -> None:
    share = np.array([1.0, 0.9, 0.5])
    power = np.array([exponent])
    step = 1e-6
    slope = (straightened(share + step, power) - straightened(share - step, power)) / (2 * step)
    assert slope == pytest.approx(1 / steepness(share, power), rel=1e-6)
    assert straightened(np.array([1.0]), power) == pytest.approx([0.0])


def test_a_straight_line_of_newton_is_the_logarithm() -> None:
    assert straightened(np.array([0.5]), np.array([1.0])) == pytest.approx([math.log(0.5)])
