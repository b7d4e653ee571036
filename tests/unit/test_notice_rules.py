"""Which alarms may be told when, and when the next test is due."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from collector.notice_rules import NoticeRules
from collector.priorities import Priority
from collector.quiet_hours import DailyTime, QuietHours

ZONE = ZoneInfo("UTC")
NIGHT = QuietHours(DailyTime(22 * 60), DailyTime(7 * 60))


def at(hour: int, day: int = 10) -> int:
    return round(datetime(2026, 6, day, hour, tzinfo=UTC).timestamp()) * 1_000_000


@pytest.mark.parametrize("lowest", list(Priority))
def test_a_priority_and_all_above_it_are_told(lowest: Priority) -> None:
    rules = NoticeRules(zone=ZONE, from_priority=lowest)
    told = [priority for priority in Priority if rules.wanted(priority)]
    assert told == list(Priority)[: list(Priority).index(lowest) + 1]


def test_in_the_quiet_hours_only_high_alarms_pass() -> None:
    rules = NoticeRules(zone=ZONE, quiet=NIGHT)
    assert [p for p in Priority if rules.passes(p, at(23))] == [Priority.HIGH]
    assert [p for p in Priority if rules.passes(p, at(12))] == list(Priority)


def test_where_nothing_passes_high_alarms_wait_too() -> None:
    rules = NoticeRules(zone=ZONE, quiet=NIGHT, high_passes=False)
    assert not any(rules.passes(priority, at(23)) for priority in Priority)


def test_the_end_of_the_quiet_hours_is_told_while_they_go_on() -> None:
    rules = NoticeRules(zone=ZONE, quiet=NIGHT)
    assert rules.quiet_until_us(at(23)) == at(7, day=11)
    assert rules.quiet_until_us(at(12)) is None
    assert NoticeRules(zone=ZONE).quiet_until_us(at(23)) is None


def test_a_test_in_the_quiet_hours_waits_for_their_end() -> None:
    early = NoticeRules(zone=ZONE, quiet=NIGHT, test_at=DailyTime(6 * 60))
    assert early.next_test_us(at(23)) == at(7, day=11)
    usual = NoticeRules(zone=ZONE, quiet=NIGHT)
    assert usual.next_test_us(at(23)) == at(8, day=11)
    assert NoticeRules(zone=ZONE, test_at=None).next_test_us(at(23)) is None
