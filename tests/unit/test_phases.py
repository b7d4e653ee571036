"""The names people use for phases."""

import pytest
from stranger_round import AMBER

from collector.phases import AFTERCARE, AT_THE_BENCH, ORDER, Phase, phase_named


@pytest.mark.parametrize(
    ("text", "phase"),
    [
        ("stir", Phase.STIR),
        (" Draw-Wax ", Phase.DRAW_WAX),
        ("add_fragrance", Phase.ADD_FRAGRANCE),
        ("wax", Phase.DRAW_WAX),
        ("FRAGRANCE", Phase.ADD_FRAGRANCE),
        ("temper", None),
        ("", None),
    ],
)
def test_a_phase_is_known_by_what_people_call_it(text: str, phase: Phase | None) -> None:
    assert phase_named(text) is phase


def test_every_phase_is_at_the_bench_or_after_it() -> None:
    assert AT_THE_BENCH + AFTERCARE == ORDER
    assert AT_THE_BENCH[-1] == Phase.POUR


def test_a_recipe_s_phases_come_in_the_order_of_the_trade() -> None:
    assert list(AMBER.phases) == [
        phase for phase in ORDER if phase not in (Phase.PREPARE, Phase.TRIM)
    ]
