"""How fine a display is, told from what it showed."""

import pytest

from collector.readings import Quantity
from collector.resolution import resolution_of


@pytest.mark.parametrize(
    ("grams", "resolution"),
    [
        ([0.0, 199.8, 199.9, 417.2], 100),
        ([0, 3, 200, 201], 1_000),
        ([0, 5, 200, 415], 5_000),
        ([0, 40, 95, 130, 200, 415, 510, 620], 5_000),
        ([0, 0.02, 18.44, 200.16], 20),
        ([-0.5, 0, 12.5, 200], 500),
        ([1.001, 1.002, 3.5], 1),
    ],
)
def test_a_scale_has_the_coarsest_division_that_all_fit(
    grams: list[float], resolution: int
) -> None:
    values = [round(gram * 1000) for gram in grams]
    assert resolution_of(values, Quantity.MASS) == resolution


def test_a_probe_of_sixteenths_steps_by_a_sixteenth() -> None:
    """DS18B20 data sheet, table 1: 12 bits are steps of 0.0625 °C, here cut to thousandths."""
    values = [sixteenths * 1000 // 16 for sixteenths in (400, 401, 403, 410)]
    assert resolution_of(values, Quantity.TEMPERATURE) == 62


def test_round_masses_do_not_make_a_scale_coarse() -> None:
    assert resolution_of([0, 100_000, 200_000], Quantity.MASS) is None


def test_jumps_of_a_thermometer_are_no_steps() -> None:
    assert resolution_of([437, 21_000, 60_000, 98_000], Quantity.TEMPERATURE) is None
    assert resolution_of([21_000, 22_000, 24_000, 60_000], Quantity.TEMPERATURE) == 1_000


def test_two_values_tell_nothing() -> None:
    assert resolution_of([0, 200_000, 0, 200_000], Quantity.MASS) is None
    assert resolution_of([], Quantity.TEMPERATURE) is None
