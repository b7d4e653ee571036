"""Where the wax stands between the windows of its recipe."""

import msgspec
import pytest
from stranger_round import AMBER

from collector.case import Warmth, warmth
from collector.recipes import Window


@pytest.mark.parametrize(
    ("celsius", "expected"),
    [
        (95.0, Warmth.HOT),
        (86.1, Warmth.HOT),
        (86.0, Warmth.ADD),  # 85 °C, and a probe may be off by one
        (82.5, Warmth.ADD),
        (79.0, Warmth.ADD),
        (78.9, Warmth.BETWEEN),
        (64.1, Warmth.BETWEEN),
        (64.0, Warmth.POUR),
        (60.0, Warmth.POUR),
        (53.0, Warmth.POUR),
        (52.9, Warmth.COLD),  # a probe that the wax has not reached yet
        (21.0, Warmth.COLD),
    ],
)
def test_warmth_is_told_by_the_recipes_windows_and_a_probes_error(
    celsius: float, expected: Warmth
) -> None:
    assert warmth(AMBER, round(celsius * 1000)) is expected


def test_nothing_is_known_without_a_probe() -> None:
    assert warmth(AMBER, None) is Warmth.UNKNOWN


def test_nothing_is_known_where_the_recipe_says_nothing_of_adding() -> None:
    silent = msgspec.structs.replace(AMBER.fragrance, add_between=None)
    assert warmth(msgspec.structs.replace(AMBER, fragrance=silent), 82_500) is Warmth.UNKNOWN


def test_nothing_is_known_where_the_recipe_says_nothing_of_pouring() -> None:
    silent = msgspec.structs.replace(AMBER, pour_between=None)
    assert warmth(silent, 60_000) is Warmth.UNKNOWN


@pytest.mark.parametrize("pour", [Window(57_000, 80_000), Window(84_000, 90_000)])
def test_windows_that_meet_tell_nothing(pour: Window) -> None:
    meeting = msgspec.structs.replace(AMBER, pour_between=pour)
    assert warmth(meeting, 82_500) is Warmth.UNKNOWN
