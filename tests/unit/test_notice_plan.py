"""What is told beyond the room and when: folded, held, repeated, and never twice for nothing."""

from collections.abc import Iterable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from alarm_samples import (
    MINUTE,
    SECOND,
    acknowledged,
    cleared,
    folded,
    light_vessel,
    raised,
    shelved,
    taken_out,
    unshelved,
)
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from collector.alarm_events import AlarmReleased, AlarmSuppressed
from collector.alarm_ledger import AlarmLedger
from collector.event_base import Event
from collector.notice_rules import NoticeRules
from collector.notices.plan import About, NoticePlan
from collector.priorities import Priority
from collector.quiet_hours import DailyTime, QuietHours

ZONE = ZoneInfo("UTC")
FOLD = 30 * SECOND
NOON = round(datetime(2026, 6, 10, 12, tzinfo=UTC).timestamp()) * SECOND
NIGHT = QuietHours(DailyTime(22 * 60), DailyTime(7 * 60))
EVENING, MORNING = NOON + 10 * 60 * MINUTE, NOON + 19 * 60 * MINUTE


class Desk:
    """A journal and a plan that looks at what stands."""

    def __init__(self, **rules: object) -> None:
        self.ledger = AlarmLedger()
        self.plan = NoticePlan(replace(NoticeRules(zone=ZONE), **rules))
        self.look(NOON)

    def happen(self, *events: Event) -> None:
        for event in events:
            self.ledger.apply(event)

    def look(self, at_us: int) -> list[tuple[About, str]]:
        items = self.plan.look(self.ledger.standing_and(()), at_us)
        return [(item.about, item.alarm.raised.alarm) for item in items]

    def look_on(self, *at_us: int) -> list[list[tuple[About, str]]]:
        """Look at each of these times; return what was told, where something was."""
        return [told for told in map(self.look, at_us) if told]


def seconds(since_us: int, last: int) -> Iterable[int]:
    return (since_us + n * SECOND for n in range(last + 1))


def test_an_alarm_is_told_once_when_nothing_more_can_come_to_it() -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON))
    assert desk.look(NOON) == []
    assert len(desk.plan.gathered) == 1
    assert desk.look(NOON + FOLD - 1) == []
    assert desk.look(NOON + FOLD) == [(About.STANDS, "1.1")]
    assert not desk.plan.gathered
    assert desk.look_on(*seconds(NOON + FOLD, 7200)) == []


def test_a_storm_of_twenty_is_one_message() -> None:
    desk, told = Desk(), []
    for n in range(20):
        desk.happen(light_vessel(f"1.{n}", NOON + n * SECOND, "1", n))
        told += desk.look_on(NOON + n * SECOND)
    told += desk.look_on(*seconds(NOON + 20 * SECOND, 600))
    assert [len(message) for message in told] == [20]


def test_what_comes_after_the_fold_is_a_message_of_its_own() -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON))
    desk.look_on(NOON, NOON + FOLD)
    desk.happen(raised("1.2", NOON + FOLD, rule="off-band"))
    assert desk.look_on(*seconds(NOON + FOLD, 60)) == [[(About.STANDS, "1.2")]]


def test_without_a_fold_an_alarm_is_told_at_once() -> None:
    desk = Desk(fold_us=0)
    desk.happen(raised("1.1", NOON))
    assert desk.look(NOON) == [(About.STANDS, "1.1")]


def test_what_somebody_acknowledged_before_the_fold_ended_is_not_told() -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON))
    desk.look(NOON)
    desk.happen(acknowledged("1.1", NOON + 5))
    assert desk.look_on(*seconds(NOON, 60)) == []


def test_what_is_part_of_another_is_not_told() -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON), raised("1.2", NOON, rule="off-band"))
    desk.look(NOON)
    desk.happen(folded("1.2", "1.1", NOON + 5))
    assert desk.look(NOON + FOLD) == [(About.STANDS, "1.1")]


def test_what_came_and_went_within_the_fold_is_told_as_over() -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON))
    desk.look(NOON)
    desk.happen(cleared("1.1", NOON + 9 * SECOND))
    assert desk.look_on(*seconds(NOON, 60)) == [[(About.OVER, "1.1")]]


def test_what_was_told_and_is_over_is_told_so_once_if_nobody_saw_it() -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON), raised("1.2", NOON, rule="off-band"))
    desk.look_on(NOON, NOON + FOLD)
    desk.happen(acknowledged("1.2", NOON + FOLD), cleared("1.1", NOON + FOLD))
    desk.happen(cleared("1.2", NOON + FOLD))
    assert desk.look_on(*seconds(NOON + FOLD, 3600)) == [[(About.OVER, "1.1")]]


def test_alarms_below_the_wanted_priority_are_never_told() -> None:
    desk = Desk(from_priority=Priority.HIGH)
    desk.happen(raised("1.1", NOON, priority=Priority.MEDIUM))
    assert desk.look_on(*seconds(NOON, 60)) == []


def suppressed(alarm: str, at_us: int) -> AlarmSuppressed:
    return AlarmSuppressed(at_us=at_us, bench="creek", lot="1", alarm=alarm, by="1.9")


def released(alarm: str, at_us: int) -> AlarmReleased:
    return AlarmReleased(at_us=at_us, bench="creek", lot="1", alarm=alarm)


@pytest.mark.parametrize(
    ("aside", "back"),
    [
        (shelved("1.1", NOON + 1, NOON + 60 * MINUTE), unshelved("1.1", NOON + MINUTE)),
        (suppressed("1.1", NOON + 1), released("1.1", NOON + MINUTE)),
    ],
)
def test_what_is_put_aside_is_told_only_when_it_is_taken_up_again(
    aside: Event, back: Event
) -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON), aside)
    assert desk.look_on(*seconds(NOON + 1, 60)) == []
    desk.happen(back)
    assert desk.look_on(*seconds(NOON + MINUTE, 60)) == [[(About.STANDS, "1.1")]]


def test_what_is_out_of_service_is_not_told() -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON), taken_out(at_us=NOON + 1))
    assert desk.look_on(*seconds(NOON + 1, 60)) == []


def test_a_shelf_that_runs_out_lets_its_alarm_be_told() -> None:
    desk = Desk()
    desk.happen(raised("1.1", NOON), shelved("1.1", NOON + 1, NOON + MINUTE))
    assert desk.look_on(*seconds(NOON + 1, 58)) == []
    assert desk.look_on(*seconds(NOON + MINUTE, 60)) == [[(About.STANDS, "1.1")]]


# ------------------------------------------------------------ repeats


def test_a_high_alarm_is_repeated_until_somebody_sees_it() -> None:
    desk = Desk(fold_us=0, repeat_us=10 * MINUTE)
    desk.happen(raised("1.1", NOON), raised("1.2", NOON, priority=Priority.MEDIUM, rule="a"))
    assert len(desk.look(NOON)) == 2
    again = desk.look_on(*seconds(NOON + SECOND, 25 * 60))
    assert again == [[(About.STANDS_STILL, "1.1")]] * 2
    desk.happen(acknowledged("1.1", NOON + 26 * MINUTE))
    assert desk.look_on(*seconds(NOON + 26 * MINUTE, 3600)) == []


# ------------------------------------------------------------ quiet hours


def test_in_the_quiet_hours_high_alarms_are_told_and_others_at_their_end() -> None:
    desk = Desk(quiet=NIGHT)
    desk.happen(raised("1.1", EVENING))
    desk.happen(raised("1.2", EVENING, priority=Priority.MEDIUM, rule="off-band"))
    desk.happen(raised("1.3", EVENING, priority=Priority.MEDIUM, rule="fill-grams"))
    assert desk.look_on(EVENING, EVENING + FOLD) == [[(About.STANDS, "1.1")]]
    assert [alarm.raised.alarm for alarm in desk.plan.held] == ["1.2", "1.3"]
    desk.happen(cleared("1.3", EVENING + MINUTE))
    night = range(EVENING + MINUTE, MORNING, MINUTE)
    assert desk.look_on(*night) == []
    told = desk.look_on(*seconds(MORNING, 60))
    assert told == [[(About.STANDS, "1.2"), (About.OVER, "1.3")]]
    assert desk.plan.held == ()


def test_what_was_held_and_seen_meanwhile_is_not_told() -> None:
    desk = Desk(quiet=NIGHT, high_passes=False)
    desk.happen(raised("1.1", EVENING))
    assert desk.look_on(EVENING, EVENING + FOLD) == []
    desk.happen(acknowledged("1.1", EVENING + MINUTE))
    assert desk.look_on(*seconds(MORNING, 60)) == []


# ------------------------------------------------------------ restarts and clocks


def test_what_stands_at_the_start_is_told_once_and_what_is_over_is_not() -> None:
    ledger = AlarmLedger([raised("1.1", NOON), raised("1.2", NOON, rule="a"), cleared("1.2", NOON)])
    plan = NoticePlan(NoticeRules(zone=ZONE))
    looks = [plan.look(ledger.standing_and(()), at_us) for at_us in seconds(NOON, 60)]
    told = [[(item.about, item.alarm.raised.alarm) for item in items] for items in looks if items]
    assert told == [[(About.STANDS, "1.1")]]


def test_a_clock_that_is_put_back_does_not_put_a_message_off() -> None:
    desk = Desk(repeat_us=10 * MINUTE)
    desk.happen(raised("1.1", NOON))
    desk.look(NOON)
    back = NOON - 600 * MINUTE
    assert desk.look_on(*seconds(back, 30)) == [[(About.STANDS, "1.1")]]
    assert desk.look_on(*seconds(back - 600 * MINUTE, 30)) == [[(About.STANDS_STILL, "1.1")]]


# ------------------------------------------------------------ whatever comes


@given(st.lists(st.tuples(st.integers(0, 4), st.sampled_from("rcas"), st.integers(0, 40))))
def test_whatever_happens_each_alarm_that_nobody_saw_is_told_as_it_stands_and_nothing_twice(
    moves: list[tuple[int, str, int]],
) -> None:
    desk, at_us = Desk(), NOON
    told: list[tuple[About, str]] = []
    for n, what, later in moves:
        at_us += later * SECOND
        name = f"1.{n}"
        alarm = desk.ledger.alarms.get(name)
        if what == "r" and alarm is None:
            desk.happen(raised(name, at_us, rule=f"rule-{n}"))
        elif what == "c" and alarm is not None and alarm.state in {"active", "acknowledged"}:
            desk.happen(cleared(name, at_us))
        elif what == "a" and alarm is not None and alarm.state in {"active", "cleared"}:
            desk.happen(acknowledged(name, at_us))
        told += desk.look(at_us)
    for then_us in seconds(at_us, 2 * FOLD // SECOND):
        told += desk.look(then_us)
    assert len(told) == len(set(told))
    for name, alarm in desk.ledger.alarms.items():
        if alarm.state in {"active", "cleared"}:
            latest = [about for about, told_of in told if told_of == name][-1]
            assert latest is (About.STANDS if alarm.state == "active" else About.OVER)
