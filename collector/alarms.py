"""The alarm's life as a table: its states, its moves, and what is laid over them.

States and moves as ISA-18.2 and IEC 62682 describe them (their letters, from memory, beside
each); OPC 10000-9 defines acknowledge, latching and shelving in the same sense. `alarm_ledger`
folds the journal's events into alarms.
"""

from enum import StrEnum

import msgspec

from collector.alarm_events import AlarmRaised
from collector.errors import ConflictError
from collector.priorities import Priority


class AlarmState(StrEnum):
    """Where an alarm is in its life, whatever is laid over it."""

    ACTIVE = "active"  # B: violated, nobody has seen it
    ACKNOWLEDGED = "acknowledged"  # C: violated, seen
    CLEARED = "cleared"  # D: kept again, nobody has seen it
    LATCHED = "latched"  # E: kept again, nobody has seen it, and it stays until it is reset
    LATCHED_SEEN = "latched and acknowledged"  # F: kept again, seen, to be reset
    ENDED = "ended"  # A, normal: kept again and seen, or part of another alarm


class Shown(StrEnum):
    """What the outside is told: the state, or what is laid over it."""

    ACTIVE = "active"
    ACKNOWLEDGED = "acknowledged"
    CLEARED = "cleared"
    LATCHED = "latched"  # `acknowledged_at` tells whether a person has seen it
    SHELVED = "shelved"  # G: put aside by a person for a time
    SUPPRESSED = "suppressed"  # H: the instrument under it is bad
    OUT_OF_SERVICE = "out of service"  # I: its rule was taken out by a person
    ENDED = "ended"


class AlarmMove(StrEnum):
    """What can happen to an alarm."""

    ACKNOWLEDGE = "acknowledge"
    CLEAR = "clear"
    LATCH = "latch"  # the same as clear, of an alarm that the recipe latches
    RESET = "reset"
    FOLD = "fold"
    RESTORE = "restore"  # what cleared or folded it was taken back
    RESTORE_SEEN = "restore acknowledged"  # the same of an alarm that a person has seen
    SHELVE = "shelve"
    UNSHELVE = "unshelve"
    SUPPRESS = "suppress"
    RELEASE = "release"


VIOLATED = (AlarmState.ACTIVE, AlarmState.ACKNOWLEDGED)
"""States in which the limit is still violated."""

_OVER = tuple(state for state in AlarmState if state not in VIOLATED)
_STANDING = tuple(state for state in AlarmState if state is not AlarmState.ENDED)

MOVES: dict[tuple[AlarmState, AlarmMove], AlarmState] = {
    (AlarmState.ACTIVE, AlarmMove.ACKNOWLEDGE): AlarmState.ACKNOWLEDGED,
    (AlarmState.ACTIVE, AlarmMove.CLEAR): AlarmState.CLEARED,
    (AlarmState.ACTIVE, AlarmMove.LATCH): AlarmState.LATCHED,
    (AlarmState.ACKNOWLEDGED, AlarmMove.CLEAR): AlarmState.ENDED,
    (AlarmState.ACKNOWLEDGED, AlarmMove.LATCH): AlarmState.LATCHED_SEEN,
    (AlarmState.CLEARED, AlarmMove.ACKNOWLEDGE): AlarmState.ENDED,
    (AlarmState.LATCHED, AlarmMove.ACKNOWLEDGE): AlarmState.LATCHED_SEEN,
    (AlarmState.LATCHED_SEEN, AlarmMove.RESET): AlarmState.ENDED,
    (AlarmState.ACTIVE, AlarmMove.FOLD): AlarmState.ENDED,
    (AlarmState.ACKNOWLEDGED, AlarmMove.FOLD): AlarmState.ENDED,
    (AlarmState.LATCHED, AlarmMove.FOLD): AlarmState.ENDED,
    (AlarmState.LATCHED_SEEN, AlarmMove.FOLD): AlarmState.ENDED,
    **{(state, AlarmMove.RESTORE): AlarmState.ACTIVE for state in _OVER},
    **{(state, AlarmMove.RESTORE_SEEN): AlarmState.ACKNOWLEDGED for state in _OVER},
    **{(state, AlarmMove.SHELVE): state for state in _STANDING},
    **{(state, AlarmMove.UNSHELVE): state for state in _STANDING},
    **{(state, AlarmMove.SUPPRESS): state for state in VIOLATED},
    **{(state, AlarmMove.RELEASE): state for state in VIOLATED},
}
"""Every move that is allowed; what is not here is refused.

What is laid over a state (shelved, suppressed, out of service) leaves it as it is: when it is
taken away, the alarm is in the state then true.
"""

_ATTENTION = {
    shown: place
    for place, shown in enumerate(
        (
            Shown.ACTIVE,
            Shown.CLEARED,
            Shown.LATCHED,
            Shown.ACKNOWLEDGED,
            Shown.SUPPRESSED,
            Shown.SHELVED,
            Shown.OUT_OF_SERVICE,
            Shown.ENDED,
        )
    )
}
_URGENCY = {priority: place for place, priority in enumerate(Priority)}

_DONE = {
    AlarmMove.ACKNOWLEDGE: "acknowledged",
    AlarmMove.CLEAR: "cleared",
    AlarmMove.LATCH: "cleared",
    AlarmMove.RESET: "reset",
    AlarmMove.FOLD: "folded into another",
    AlarmMove.RESTORE: "restored",
    AlarmMove.RESTORE_SEEN: "restored",
    AlarmMove.SHELVE: "shelved",
    AlarmMove.UNSHELVE: "unshelved",
    AlarmMove.SUPPRESS: "suppressed",
    AlarmMove.RELEASE: "released",
}
_WHY_NOT = {
    (AlarmState.ACKNOWLEDGED, AlarmMove.ACKNOWLEDGE): "a person has seen it already",
    (AlarmState.LATCHED_SEEN, AlarmMove.ACKNOWLEDGE): "a person has seen it already; reset it",
    (AlarmState.ENDED, AlarmMove.SHELVE): "there is nothing to put aside",
    (AlarmState.ENDED, AlarmMove.UNSHELVE): "there is nothing to take up again",
    (AlarmState.ACTIVE, AlarmMove.RESET): "its limit does not hold again yet",
    (AlarmState.ACKNOWLEDGED, AlarmMove.RESET): "its limit does not hold again yet",
    (AlarmState.LATCHED, AlarmMove.RESET): "acknowledge it first",
}


class Alarm(msgspec.Struct, frozen=True, kw_only=True):
    """One alarm as it stands: how it was raised, and what became of it."""

    raised: AlarmRaised
    state: AlarmState = AlarmState.ACTIVE
    cleared_us: int | None = None
    outcome: str | None = None
    acknowledged_us: int | None = None
    note: str | None = None
    reset_us: int | None = None
    shelved_until_us: int | None = None
    shelved_why: str | None = None
    suppressed_by: str | None = None
    out_of_service: str | None = None
    """Why its rule was taken out of service while it stood."""
    folded_into: str | None = None

    def shelved(self, at_us: int) -> bool:
        """Tell whether it is put aside at a time."""
        return self.shelved_until_us is not None and at_us < self.shelved_until_us

    def shown(self, at_us: int) -> Shown:
        """Return what the outside is told at a time: what is laid over goes before the state."""
        if self.state is AlarmState.ENDED:
            return Shown.ENDED
        if self.state in VIOLATED and self.out_of_service is not None:
            return Shown.OUT_OF_SERVICE
        if self.state in VIOLATED and self.suppressed_by is not None:
            return Shown.SUPPRESSED
        if self.shelved(at_us):
            return Shown.SHELVED
        latched = self.state in {AlarmState.LATCHED, AlarmState.LATCHED_SEEN}
        return Shown.LATCHED if latched else Shown(self.state.value)

    def moved(self, move: AlarmMove) -> AlarmState:
        """Return the state after a move. Raises ConflictError where the move is not allowed."""
        try:
            return MOVES[self.state, move]
        except KeyError:
            raise self._refusal(move, self._why_not(move)) from None

    def check_shelved(self, at_us: int) -> None:
        """Raise ConflictError where it is not shelved at a time: it cannot be taken up again."""
        self.moved(AlarmMove.UNSHELVE)
        if not self.shelved(at_us):
            raise self._refusal(AlarmMove.UNSHELVE, "it is not shelved")

    def attention(self, at_us: int) -> tuple[int, int, int]:
        """Return its place in a list: what wants an answer first, then priority, then the newest.

        An alarm that nobody has seen wants an answer; one that is put aside in some way does not.
        """
        raised = self.raised
        return _ATTENTION[self.shown(at_us)], _URGENCY[raised.priority], -raised.at_us

    def _why_not(self, move: AlarmMove) -> str:
        if move is AlarmMove.RESET and not self.raised.latched:
            return "only a latched alarm is reset"
        return _WHY_NOT.get((self.state, move), f"it cannot be {_DONE[move]} again")

    def _refusal(self, move: AlarmMove, why: str) -> ConflictError:
        alarm = self.raised.alarm
        return ConflictError(
            f"Alarm {alarm} is {self.state.value}: {why}, so it was not {_DONE[move]}."
        )
