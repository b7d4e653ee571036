"""The alarm's life, against the states and moves of ISA-18.2 and IEC 62682 (from memory).

A normal, B unacknowledged, C acknowledged, D returned to normal unacknowledged, E latched
unacknowledged, F latched acknowledged, G shelved, H suppressed, I out of service.
"""

from typing import Any

import msgspec
import pytest
from alarm_samples import raised

from collector.alarms import MOVES, Alarm, AlarmMove, AlarmState, Shown
from collector.errors import ConflictError
from collector.priorities import Priority

A, B, C = AlarmState.ENDED, AlarmState.ACTIVE, AlarmState.ACKNOWLEDGED
D, E, F = AlarmState.CLEARED, AlarmState.LATCHED, AlarmState.LATCHED_SEEN
ACKNOWLEDGE, CLEAR, LATCH = AlarmMove.ACKNOWLEDGE, AlarmMove.CLEAR, AlarmMove.LATCH
RESET, FOLD = AlarmMove.RESET, AlarmMove.FOLD

OF_THE_STANDARD = [
    (B, ACKNOWLEDGE, C),
    (B, CLEAR, D),
    (C, CLEAR, A),
    (D, ACKNOWLEDGE, A),
    (B, LATCH, E),
    (C, LATCH, F),
    (E, ACKNOWLEDGE, F),
    (F, RESET, A),
]
OF_THIS_HOUSE = [
    *((state, FOLD, A) for state in (B, C, E, F)),  # one cause, one alarm
    *((state, AlarmMove.SHELVE, state) for state in (B, C, D, E, F)),  # any -> G ...
    *((state, AlarmMove.UNSHELVE, state) for state in (B, C, D, E, F)),  # ... and back
    *((state, AlarmMove.SUPPRESS, state) for state in (B, C)),  # only what is violated -> H
    *((state, AlarmMove.RELEASE, state) for state in (B, C)),
    *((state, AlarmMove.RESTORE, B) for state in (A, D, E, F)),  # its end was a mistake
    *((state, AlarmMove.RESTORE_SEEN, C) for state in (A, D, E, F)),
]
ALLOWED = {(state, move): after for state, move, after in [*OF_THE_STANDARD, *OF_THIS_HOUSE]}


def alarm(state: AlarmState, **changes: Any) -> Alarm:  # noqa: ANN401 - any of its fields
    return msgspec.structs.replace(Alarm(raised=raised(latched=True), state=state), **changes)


@pytest.mark.parametrize(("state", "move", "after"), [*OF_THE_STANDARD, *OF_THIS_HOUSE])
def test_an_alarm_moves_as_the_standard_says(
    state: AlarmState, move: AlarmMove, after: AlarmState
) -> None:
    assert alarm(state).moved(move) is after


@pytest.mark.parametrize("state", AlarmState)
@pytest.mark.parametrize("move", AlarmMove)
def test_what_is_not_in_the_table_is_refused_in_a_sentence(
    state: AlarmState, move: AlarmMove
) -> None:
    assert ((state, move) in MOVES) is ((state, move) in ALLOWED)
    if (state, move) in ALLOWED:
        return
    with pytest.raises(ConflictError, match=rf"^Alarm 1\.1 is {state.value}: .*, so it was not"):
        alarm(state).moved(move)


@pytest.mark.parametrize(
    ("state", "why"),
    [
        (B, "its limit does not hold again yet"),
        (C, "its limit does not hold again yet"),
        (E, "acknowledge it first"),
        (A, "it cannot be reset again"),
    ],
)
def test_a_reset_that_comes_too_early_is_told_what_is_missing(state: AlarmState, why: str) -> None:
    with pytest.raises(ConflictError, match=why):
        alarm(state).moved(RESET)


@pytest.mark.parametrize("state", [A, B, C, D])
def test_only_a_latched_alarm_is_reset(state: AlarmState) -> None:
    with pytest.raises(ConflictError, match="only a latched alarm is reset"):
        Alarm(raised=raised(), state=state).moved(RESET)


def test_an_alarm_that_is_not_shelved_cannot_be_taken_up_again() -> None:
    with pytest.raises(ConflictError, match="it is not shelved"):
        alarm(B).check_shelved(0)
    with pytest.raises(ConflictError, match="it is not shelved"):
        alarm(B, shelved_until_us=10).check_shelved(10)  # its time is over
    alarm(B, shelved_until_us=10).check_shelved(9)


@pytest.mark.parametrize(
    ("state", "plain"),
    [
        (A, Shown.ENDED),
        (B, Shown.ACTIVE),
        (C, Shown.ACKNOWLEDGED),
        (D, Shown.CLEARED),
        (E, Shown.LATCHED),
        (F, Shown.LATCHED),
    ],
)
def test_what_is_laid_over_an_alarm_goes_and_leaves_the_state_then_true(
    state: AlarmState, plain: Shown
) -> None:
    over = {"shelved_until_us": 10}
    assert alarm(state).shown(0) is plain
    assert alarm(state, **over).shown(9) is (Shown.ENDED if state is A else Shown.SHELVED)
    assert alarm(state, **over).shown(10) is plain
    violated = state in {B, C}
    suppressed = alarm(state, suppressed_by="1.7").shown(0)
    assert suppressed is (Shown.SUPPRESSED if violated else plain)
    out = alarm(state, out_of_service="broken", suppressed_by="1.7", **over).shown(10)
    assert out is (Shown.OUT_OF_SERVICE if violated else plain)


def test_a_list_begins_with_what_wants_an_answer() -> None:
    def one(name: str, state: AlarmState, priority: Priority, at_us: int = 0) -> Alarm:
        return Alarm(raised=raised(name, at_us, priority=priority), state=state)

    shelved = msgspec.structs.replace(one("i", B, Priority.HIGH), shelved_until_us=10)
    wanted = [
        one("a", B, Priority.HIGH, 5),
        one("b", B, Priority.HIGH, 4),
        one("c", B, Priority.MEDIUM, 6),
        one("d", B, Priority.LOW),
        one("e", D, Priority.HIGH),
        one("f", F, Priority.HIGH),
        one("g", C, Priority.HIGH),
        one("h", C, Priority.LOW),
        shelved,
        one("j", A, Priority.HIGH),
    ]
    jumbled = sorted(wanted, key=lambda alarm: alarm.raised.alarm, reverse=True)
    assert sorted(jumbled, key=lambda alarm: alarm.attention(0)) == wanted
