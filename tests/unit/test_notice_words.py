"""What a message says, read as somebody reads it who is tired and elsewhere."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from alarm_samples import MINUTE, SECOND, raised
from msgspec.structs import replace

from collector.alarms import Alarm, AlarmState
from collector.notice_rules import NoticeRules
from collector.notices import words
from collector.notices.message import Kind
from collector.notices.plan import About, Item
from collector.priorities import Priority
from collector.quiet_hours import DailyTime, QuietHours

LISBON = ZoneInfo("Europe/Lisbon")
AT = round(datetime(2026, 6, 10, 13, 39, 48, tzinfo=UTC).timestamp()) * SECOND  # 14:39 there
LATER = AT + 2 * MINUTE


def alarm(message: str, n: int = 1, **changes: object) -> Alarm:
    usual = raised(f"1.{n}", AT + n, lot="2026-06-10-2", pitcher=1, priority=Priority.MEDIUM)
    event = replace(usual, bench="east", message=message, advice="Put the pitcher down.")
    return Alarm(raised=replace(event, **changes))


HOT = "Pouring too hot: the wax is at 62.2 °C, the window is 58.0 to 60.0 °C."


def test_one_alarm_says_what_where_what_to_do_and_since_when() -> None:
    message = words.of_alarms([Item(About.STANDS, alarm(HOT))], "Pier Lane", LISBON, LATER)
    assert message.subject == "Pier Lane, east: pouring too hot (lot 2026-06-10-2)"
    assert message.body == (
        f"{HOT}\n"
        "Do now: Put the pitcher down.\n"
        "Since 14:39. Bench east, lot 2026-06-10-2, pitcher 1, priority medium."
    )
    assert (message.kind, message.written_us, message.is_test) == (Kind.ALARMS, LATER, False)


def test_what_stands_comes_before_what_is_over_and_high_before_the_rest() -> None:
    over = replace(
        alarm("Vessel 3 of 12 is 3.0 g light: 217.0 g of 220.0 g.", 2),
        state=AlarmState.CLEARED,
        cleared_us=AT + MINUTE,
        outcome="topped up",
    )
    items = [
        Item(About.OVER, over),
        Item(About.STANDS, alarm(HOT, 3)),
        Item(About.STANDS, alarm("east-pot is at 95.0 °C.", 4, priority=Priority.HIGH)),
    ]
    message = words.of_alarms(items, "Pier Lane", LISBON, LATER)
    assert message.subject == "Pier Lane, east: east-pot is at 95.0 °C, and 2 more"
    blocks = message.body.split("\n\n")
    assert [block.splitlines()[0] for block in blocks] == [
        "east-pot is at 95.0 °C.",
        HOT,
        "Over again:",
    ]
    assert blocks[2].endswith(
        "- Vessel 3 of 12 is 3.0 g light: 217.0 g of 220.0 g. From 14:39 to 14:40 (topped up)."
    )


def test_what_is_over_or_told_again_is_said_in_the_subject() -> None:
    for about, said in ((About.OVER, "over: "), (About.STANDS_STILL, "still: ")):
        message = words.of_alarms([Item(about, alarm(HOT))], "Pier Lane", LISBON, LATER)
        assert message.subject.startswith(f"Pier Lane, east: {said}pouring too hot (lot ")


def test_a_storm_is_told_in_full_in_lines_and_in_a_number() -> None:
    items = [Item(About.STANDS, alarm(f"Vessel {n} is light.", n)) for n in range(40)]
    message = words.of_alarms(items, "Pier Lane", LISBON, LATER)
    assert message.subject == "Pier Lane, east: vessel 0 is light, and 39 more"
    assert message.body.count("Do now") == words.MOST_IN_FULL
    assert message.body.count("\n- Vessel") == words.MOST_LISTED
    assert message.body.endswith("- and 15 more")


def test_a_subject_of_several_benches_names_none() -> None:
    items = [Item(About.STANDS, alarm(HOT)), Item(About.STANDS, alarm(HOT, 2, bench="west"))]
    subject = words.of_alarms(items, "Pier Lane", LISBON, LATER).subject
    assert subject == "Pier Lane: pouring too hot, and 1 more"


def test_a_time_of_another_day_says_which() -> None:
    next_day = AT + 24 * 60 * MINUTE
    body = words.of_alarms([Item(About.STANDS, alarm(HOT))], "Pier Lane", LISBON, next_day).body
    assert "Since 14:39 on Wednesday 10 June." in body


def test_a_latched_alarm_that_is_over_waits_to_be_reset() -> None:
    latched = replace(alarm(HOT, latched=True), state=AlarmState.LATCHED, cleared_us=LATER)
    body = words.of_alarms([Item(About.OVER, latched)], "Pier Lane", LISBON, LATER).body
    assert body.endswith("It waits to be reset.")


@pytest.mark.parametrize(
    ("said", "title"),
    [
        ("Pouring too hot: the wax is at 62.2 °C.", "pouring too hot"),
        ("east-pot is at 95.0 °C, above it.", "east-pot is at 95.0 °C, above it"),
        ("POT gives no readings: it is unplugged.", "POT gives no readings"),
        ("The pour began without stirring.", "the pour began without stirring"),
    ],
)
def test_a_title_is_what_happened_in_a_few_words(said: str, title: str) -> None:
    assert words.title(alarm(said)) == title


# ------------------------------------------------------------ tests


def test_a_daily_test_says_that_it_is_one_and_when_the_next_comes() -> None:
    rules = NoticeRules(zone=LISBON, quiet=QuietHours(DailyTime(22 * 60), DailyTime(7 * 60)))
    message = words.of_test(Kind.DAILY_TEST, 1, "Pier Lane", rules, AT)
    assert message.subject == "Pier Lane: test, nothing has happened"
    assert message.is_test
    assert message.body == (
        "This is the daily test. Messages of pourkeep reach you here.\n"
        "Told are alarms of medium priority and above.\n"
        "From 22:00 to 07:00 only high ones come.\n"
        "At the moment 1 alarm wants an answer.\n"
        "The next test comes at 08:00 on Thursday 11 June. If it does not come, look at the page."
        f"\n\n{words.CAUTION}"
    )


def test_a_test_that_was_asked_for_says_so_and_names_no_quiet_hours_where_there_are_none() -> None:
    rules = NoticeRules(zone=LISBON, from_priority=Priority.LOW, test_at=None)
    body = words.of_test(Kind.TEST, 0, "Pier Lane", rules, AT).body
    assert body.startswith("This is a test that somebody asked for.")
    assert "Told are all alarms." in body
    assert "At the moment no alarm wants an answer." in body
    assert "There is no daily test." in body
    assert "From" not in body


def test_the_caution_stands_in_the_test_only() -> None:
    assert "no safety device" in words.CAUTION
    told = words.of_alarms([Item(About.STANDS, alarm(HOT))], "Pier Lane", LISBON, LATER)
    assert "safety" not in told.body


def test_a_late_message_says_when_it_was_written() -> None:
    message = words.of_alarms([Item(About.STANDS, alarm(HOT))], "Pier Lane", LISBON, AT)
    said = words.late(message, LISBON, AT + 40 * MINUTE)
    assert said == "Written at 14:39; it could not be sent sooner."
