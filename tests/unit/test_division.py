"""The division of a scale, told from what it shows."""

import pytest

from collector.division import Division


def division_of(values_mg: list[int]) -> int:
    division = Division()
    for value in values_mg:
        division.feed(value)
    return division.mg


@pytest.mark.parametrize("division_mg", [100, 200, 500, 1000, 2000, 5000])
def test_a_display_that_trembles_by_one_division_shows_it(division_mg: int) -> None:
    flicker = [divisions * division_mg for divisions in (40, 41, 40, 39, 40, 41)]
    assert division_of(flicker * 5) == division_mg


def test_round_masses_put_on_a_fine_scale_show_no_division() -> None:
    assert division_of([0] * 20 + [220_000] * 20 + [1_000_000] * 20) == 0


def test_a_reading_that_does_not_fit_shows_at_once() -> None:
    assert division_of([220_000, 221_000] * 20) == 1000
    assert division_of([*([220_000, 221_000] * 20), 220_900, 221_000]) == 100
    assert division_of([*([220_000, 221_000] * 20), 220_350]) == 0


def test_a_division_is_known_from_the_first_tremble() -> None:
    assert division_of([0, 0, 1000]) == 1000
