"""Mixtures of distributions, against the closed forms of any textbook and a numerical integral.

The normal, uniform, exponential and log-normal distribution are those that the NIST/SEMATECH
e-Handbook of Statistical Methods names in 1.3.6.6; their textbook forms are given from memory.
"""

import math

import pytest

from collector.chances import (
    LEAST,
    MG_PER_G,
    About,
    Bell,
    Heavier,
    Part,
    Stretch,
    cost_beyond,
    cost_of,
    least_beyond,
)

WHOLE: list[tuple[Part, float, float]] = [  # a part, and between which masses all of it lies
    (Bell(0.4, 220_000, 1_500), 205_000, 235_000),
    (Bell(0.9, -3_000, 700), -10_000, 4_000),
    (Stretch(0.25, 40_000, 616_000), 40_000, 616_000),
    (Stretch(0.5, -8_000, 8_000), -8_000, 8_000),
    (Heavier(0.97, 150_000), 0, 4_500_000),
    (About(0.8, 160_000, 0.8), 1, 30_000_000),
    (About(0.3, 270_000, 0.5), 1, 20_000_000),
]


def integral(part: Part, low_mg: float, high_mg: float) -> float:
    """Return the density's integral by the midpoint rule."""
    pieces = 60_000
    width_mg = (high_mg - low_mg) / pieces
    middles = (low_mg + (place + 0.5) * width_mg for place in range(pieces))
    return sum(part.density(mass_mg) for mass_mg in middles) * width_mg / MG_PER_G


@pytest.mark.parametrize(("part", "low_mg", "high_mg"), WHOLE)
def test_a_density_integrates_to_its_share(part: Part, low_mg: float, high_mg: float) -> None:
    assert integral(part, low_mg, high_mg) == pytest.approx(part.share, rel=1e-3)


@pytest.mark.parametrize("place", [0.05, 0.3, 0.5, 0.8])
@pytest.mark.parametrize(("part", "low_mg", "high_mg"), WHOLE)
def test_beyond_is_the_integral_of_the_density_above(
    part: Part, low_mg: float, high_mg: float, place: float
) -> None:
    mass_mg = low_mg + place * (high_mg - low_mg)
    above = integral(part, mass_mg, high_mg)
    assert part.beyond(mass_mg) == pytest.approx(above, rel=1e-3, abs=1e-6)


@pytest.mark.parametrize(("part", "low_mg", "high_mg"), WHOLE)
def test_all_of_a_part_lies_beyond_its_low_end_and_none_beyond_its_high_end(
    part: Part, low_mg: float, high_mg: float
) -> None:
    assert part.beyond(low_mg) == pytest.approx(part.share)
    assert part.beyond(high_mg) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("part", "mass_mg", "density"),
    [
        (Bell(1.0, 0, 1_000), 0, 1 / math.sqrt(2 * math.pi)),
        (Bell(1.0, 0, 1_000), 1_000, math.exp(-0.5) / math.sqrt(2 * math.pi)),
        (Bell(0.5, 7_000, 2_000), 3_000, 0.25 * math.exp(-2) / math.sqrt(2 * math.pi)),
        (Stretch(1.0, 10_000, 30_000), 20_000, 1 / 20),
        (Stretch(1.0, 10_000, 30_000), 10_000, 1 / 20),
        (Stretch(1.0, 10_000, 30_000), 30_001, 0.0),
        (Heavier(1.0, 2_000), 0, 1 / 2),
        (Heavier(1.0, 2_000), 4_000, math.exp(-2) / 2),
        (Heavier(1.0, 2_000), -1, 0.0),
        (About(1.0, 50_000, 0.4), 50_000, 1 / (50 * 0.4 * math.sqrt(2 * math.pi))),
        (About(1.0, 1_000, 1.0), 1_000 * math.e, math.exp(-1.5) / math.sqrt(2 * math.pi)),
        (About(1.0, 50_000, 0.4), 0, 0.0),
    ],
)
def test_a_density_is_per_gram_as_in_its_closed_form(
    part: Part, mass_mg: float, density: float
) -> None:
    assert part.density(mass_mg) == pytest.approx(density)


@pytest.mark.parametrize(
    ("part", "mass_mg", "chance"),
    [
        (Bell(1.0, 5_000, 1_000), 5_000, 0.5),
        (Bell(1.0, 5_000, 1_000), 6_959.964, 0.025),  # the 97.5 % point, from memory
        (Stretch(1.0, 0, 4_000), 1_000, 0.75),
        (Stretch(1.0, 0, 4_000), -50, 1.0),
        (Heavier(1.0, 3_000), 3_000 * math.log(2), 0.5),
        (Heavier(1.0, 3_000), -3_000, 1.0),
        (About(1.0, 80_000, 0.8), 80_000, 0.5),
        (About(1.0, 80_000, 0.8), -1, 1.0),
    ],
)
def test_beyond_follows_the_closed_form(part: Part, mass_mg: float, chance: float) -> None:
    assert part.beyond(mass_mg) == pytest.approx(chance, rel=1e-5)


def test_half_as_much_as_the_median_is_as_likely_as_twice() -> None:
    about = About(1.0, 100_000, 0.6)
    below = about.beyond(0) - about.beyond(50_000)
    assert below == pytest.approx(about.beyond(200_000))


def test_a_mixture_costs_what_its_parts_make_likely_together() -> None:
    mixture = (Bell(0.6, 100_000, 1_000), Stretch(0.4, 0, 200_000))
    peak = 0.6 / math.sqrt(2 * math.pi) + 0.4 / 200
    assert cost_of(mixture, 100_000) == pytest.approx(-math.log(peak))
    assert cost_of(mixture, 50_000) == pytest.approx(-math.log(0.4 / 200))


def test_what_has_come_so_far_costs_by_how_much_may_still_come() -> None:
    mixture = (Bell(0.6, 100_000, 1_000), Stretch(0.4, 0, 200_000))
    assert cost_beyond(mixture, -50_000) == pytest.approx(0.0, abs=1e-9)
    assert cost_beyond(mixture, 100_000) == pytest.approx(-math.log(0.3 + 0.2))
    assert cost_beyond(mixture, 150_000) == pytest.approx(-math.log(0.1))


def test_nothing_is_impossible_but_it_costs_the_most() -> None:
    narrow = (Bell(1.0, 100_000, 1_000),)
    assert cost_of(narrow, 900_000) == pytest.approx(-math.log(LEAST))
    assert cost_beyond(narrow, 900_000) == pytest.approx(-math.log(LEAST))


def test_a_part_with_no_width_is_taken_for_a_milligram() -> None:
    point = Stretch(1.0, 5_000, 5_000)
    assert point.density(5_000) == pytest.approx(MG_PER_G)


@pytest.mark.parametrize("mass_mg", [-1e9, -40_000, 0, 15_000, 219_000, 4e8])
def test_no_rise_costs_less_than_the_least_of_its_mixture(mass_mg: float) -> None:
    mixture = [part for part, _, _ in WHOLE]
    assert cost_beyond(mixture, mass_mg) >= least_beyond(mixture) - 1e-12


def test_the_least_is_what_it_costs_while_all_of_every_part_is_still_to_come() -> None:
    mixture = [part for part, _, _ in WHOLE]
    assert cost_beyond(mixture, -1e9) == pytest.approx(least_beyond(mixture))
