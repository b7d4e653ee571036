"""The life of a lot as a transition table: what can be done with it, and when.

A closed lot is done at the bench but not at an end: it sets, is trimmed and cures, by the
calendar and by marks.
"""

from enum import StrEnum

from collector.errors import ConflictError
from collector.phases import PhaseName
from collector.recipes import Recipe


class LotState(StrEnum):
    """Where a lot is."""

    OPEN = "open"
    CLOSED = "closed"


class LotMove(StrEnum):
    """What a person can do with a lot."""

    MARK_BENCH_PHASE = "mark a phase at the bench"
    MARK_AFTERCARE = "mark a phase after the bench"
    CLOSE = "close it"
    JUDGE = "say how it came out"
    KEEP = "keep its readings for good"
    RELEASE = "let its readings go with the others"
    NOTE = "write or photograph something of it, or take that back"


MOVES = {
    (LotState.OPEN, LotMove.MARK_BENCH_PHASE): LotState.OPEN,
    (LotState.OPEN, LotMove.MARK_AFTERCARE): LotState.OPEN,
    (LotState.OPEN, LotMove.CLOSE): LotState.CLOSED,
    (LotState.CLOSED, LotMove.MARK_AFTERCARE): LotState.CLOSED,
    (LotState.CLOSED, LotMove.JUDGE): LotState.CLOSED,
    (LotState.OPEN, LotMove.KEEP): LotState.OPEN,
    (LotState.CLOSED, LotMove.KEEP): LotState.CLOSED,
    (LotState.OPEN, LotMove.RELEASE): LotState.OPEN,
    (LotState.CLOSED, LotMove.RELEASE): LotState.CLOSED,
    (LotState.OPEN, LotMove.NOTE): LotState.OPEN,
    (LotState.CLOSED, LotMove.NOTE): LotState.CLOSED,
}
"""Every move that is allowed; what is not here is refused."""

REFUSALS = {
    LotMove.MARK_BENCH_PHASE: "only what comes after the pour can still be marked",
    LotMove.CLOSE: "it cannot be closed again",
    LotMove.JUDGE: "close it before you say how it came out",
}
"""What is said to a move that came too late, or too early."""


def moved(lot: str, state: LotState, move: LotMove) -> LotState:
    """Return the state after a move. Raises ConflictError where it is not allowed."""
    try:
        return MOVES[state, move]
    except KeyError:
        raise ConflictError(f"Lot {lot} is {state.value}: {REFUSALS[move]}.") from None


def mark_move(lot: str, recipe: Recipe, phase: PhaseName) -> LotMove:
    """Return which move marking a phase is. Raises ConflictError where the recipe lacks it."""
    if phase not in recipe.phases:
        phases = ", ".join(recipe.phases)
        raise ConflictError(f"Lot {lot} has no phase {str(phase)!r}; it has {phases}.")
    return LotMove.MARK_AFTERCARE if phase in recipe.aftercare else LotMove.MARK_BENCH_PHASE
