"""What can be done with a lot, and when."""

import pytest
from stranger_round import AMBER

from collector.errors import ConflictError
from collector.lots import LotMove, LotState, mark_move, moved
from collector.phases import Phase


def test_an_open_lot_takes_every_move() -> None:
    assert moved("1", LotState.OPEN, LotMove.MARK_BENCH_PHASE) is LotState.OPEN
    assert moved("1", LotState.OPEN, LotMove.CLOSE) is LotState.CLOSED


def test_a_closed_lot_goes_on_setting_and_curing() -> None:
    assert moved("1", LotState.CLOSED, LotMove.MARK_AFTERCARE) is LotState.CLOSED


@pytest.mark.parametrize(
    ("move", "why"),
    [
        (LotMove.CLOSE, "it cannot be closed again"),
        (LotMove.MARK_BENCH_PHASE, "only what comes after the pour can still be marked"),
    ],
)
def test_a_closed_lot_refuses_what_belongs_to_the_bench(move: LotMove, why: str) -> None:
    with pytest.raises(ConflictError, match=f"Lot 1 is closed: {why}"):
        moved("1", LotState.CLOSED, move)


def test_a_mark_is_of_the_bench_or_of_aftercare() -> None:
    assert mark_move("1", AMBER, Phase.STIR) is LotMove.MARK_BENCH_PHASE
    assert mark_move("1", AMBER, Phase.CURE) is LotMove.MARK_AFTERCARE


def test_a_phase_that_the_recipe_lacks_is_refused_with_those_it_has() -> None:
    with pytest.raises(ConflictError, match=r"no phase 'prepare'; it has draw wax, add fragrance"):
        mark_move("1", AMBER, Phase.PREPARE)
