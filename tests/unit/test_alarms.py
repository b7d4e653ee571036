"""The alarm's life, against the states of ISA-18.2 and IEC 62682 (from memory)."""

import pytest

from collector.alarms import MOVES, Alarm, AlarmLedger, AlarmMove, AlarmState
from collector.errors import ConflictError, NotFoundError
from collector.events import (
    AlarmAcknowledged,
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmShelved,
    Bounds,
    Event,
)
from collector.phases import Phase
from collector.priorities import Priority

ACTIVE, CLEARED = AlarmState.ACTIVE, AlarmState.CLEARED
ACKNOWLEDGED, ENDED = AlarmState.ACKNOWLEDGED, AlarmState.ENDED


def raised(alarm: str = "1.1") -> AlarmRaised:
    return AlarmRaised(
        at_us=0,
        bench="creek",
        lot="1",
        alarm=alarm,
        rule="fill-grams",
        priority=Priority.MEDIUM,
        phase=Phase.POUR,
        pitcher=1,
        vessel=2,
        subject=None,
        limit=Bounds(218_000, 222_000),
        measured=213_000,
        unit="g",
        message="light",
        advice="top up",
    )


def acknowledged(at_us: int = 5) -> AlarmAcknowledged:
    return AlarmAcknowledged(at_us=at_us, bench="creek", lot="1", alarm="1.1", note="seen")


def cleared(at_us: int = 9) -> AlarmCleared:
    return AlarmCleared(at_us=at_us, bench="creek", lot="1", alarm="1.1", outcome="put right")


@pytest.mark.parametrize(
    ("state", "move", "after"),
    [
        (ACTIVE, AlarmMove.ACKNOWLEDGE, ACKNOWLEDGED),  # B -> C
        (ACTIVE, AlarmMove.CLEAR, CLEARED),  # B -> D
        (ACKNOWLEDGED, AlarmMove.CLEAR, ENDED),  # C -> A
        (CLEARED, AlarmMove.ACKNOWLEDGE, ENDED),  # D -> A
    ],
)
def test_an_alarm_moves_as_the_standard_says(
    state: AlarmState, move: AlarmMove, after: AlarmState
) -> None:
    assert Alarm(raised=raised(), state=state).moved(move) is after


@pytest.mark.parametrize("state", AlarmState)
@pytest.mark.parametrize("move", AlarmMove)
def test_what_is_not_in_the_table_is_refused(state: AlarmState, move: AlarmMove) -> None:
    alarm = Alarm(raised=raised(), state=state)
    if (state, move) in MOVES:
        assert alarm.moved(move) is MOVES[state, move]
        return
    with pytest.raises(ConflictError, match=rf"Alarm 1\.1 is {state.value}"):
        alarm.moved(move)


@pytest.mark.parametrize("order", [[acknowledged(5), cleared(9)], [cleared(5), acknowledged(9)]])
def test_an_alarm_ends_when_it_is_seen_and_kept_again_in_any_order(order: list[Event]) -> None:
    alarm = AlarmLedger([raised(), *order]).find("1.1")
    assert (alarm.state, alarm.note, alarm.outcome) == (ENDED, "seen", "put right")


def test_a_shelved_alarm_is_put_aside_until_its_time() -> None:
    shelved = AlarmShelved(at_us=5, bench="creek", lot="1", alarm="1.1", until_us=100)
    alarm = AlarmLedger([raised(), shelved]).find("1.1")
    assert alarm.shelved(99)
    assert not alarm.shelved(100)
    assert alarm.state is ACTIVE


def test_a_folded_alarm_names_what_it_was_folded_into() -> None:
    folded = AlarmFolded(at_us=5, bench="creek", lot="1", alarm="1.1", into="1.2")
    alarm = AlarmLedger([raised(), raised("1.2"), folded]).find("1.1")
    assert (alarm.state, alarm.folded_into) == (ENDED, "1.2")


def test_an_unknown_alarm_is_not_found() -> None:
    with pytest.raises(NotFoundError, match=r"There is no alarm 9\.9"):
        AlarmLedger().find("9.9")
