"""What a message says: to somebody who is tired, elsewhere, and reads it on a small screen."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from collector.alarms import Alarm, AlarmState
from collector.notice_rules import NoticeRules
from collector.notices.message import Kind, Message
from collector.notices.plan import About, Item
from collector.priorities import Priority
from collector.quiet_hours import local

MOST_IN_FULL = 5
MOST_LISTED = 20
"""Alarms that a message tells in full, and in a line each; the rest are counted."""

_LONGEST_TITLE = 70
_URGENCY = {priority: place for place, priority in enumerate(Priority)}
_PREFIX = {About.STANDS: "", About.STANDS_STILL: "still: ", About.OVER: "over: "}

CAUTION = (
    "pourkeep records and warns. It is no safety device, and a message can be late or lost:"
    " nothing replaces a person at the pot."
)


def of_alarms(items: Iterable[Item], workshop: str, zone: ZoneInfo, now_us: int) -> Message:
    """Return the message that tells of alarms, the most pressing first."""
    ordered = sorted(items, key=_place)
    standing = [item for item in ordered if item.about is not About.OVER]
    over = [item for item in ordered if item.about is About.OVER]
    parts = [_in_full(item.alarm, zone, now_us) for item in standing[:MOST_IN_FULL]]
    rest = [item.alarm for item in standing[MOST_IN_FULL:]]
    if rest:
        parts.append(_listed("Also:", [_line(alarm, zone, now_us) for alarm in rest]))
    if over:
        parts.append(_listed("Over again:", [_past(item.alarm, zone, now_us) for item in over]))
    return Message(Kind.ALARMS, _subject(ordered, workshop), "\n\n".join(parts), now_us)


def of_test(kind: Kind, standing: int, workshop: str, rules: NoticeRules, now_us: int) -> Message:
    """Return a test message; `standing` alarms want an answer as it is written."""
    how = "the daily test" if kind is Kind.DAILY_TEST else "a test that somebody asked for"
    lines = [
        f"This is {how}. Messages of pourkeep reach you here.",
        f"Told are {_told(rules)}.",
        *([_quiet(rules)] if rules.quiet is not None else []),
        _standing(standing),
        _next_test(rules, now_us),
    ]
    body = "\n".join(lines) + f"\n\n{CAUTION}"
    return Message(kind, f"{workshop}: test, nothing has happened", body, now_us)


def late(message: Message, zone: ZoneInfo, now_us: int) -> str:
    """Return the sentence that a message is sent with long after it was written."""
    return f"Written at {_when(message.written_us, zone, now_us)}; it could not be sent sooner."


def title(alarm: Alarm) -> str:
    """Return what happened in a few words, to stand within a sentence."""
    said = alarm.raised.message
    head, colon, _ = said.partition(": ")
    short = head if colon and len(head) <= _LONGEST_TITLE else said.rstrip(".")
    # A name stays as it is: "POT", "east-pot".
    return short[:1].lower() + short[1:] if short[1:2].islower() else short


# ------------------------------------------------------------ alarms


def _place(item: Item) -> tuple[bool, int, int]:
    raised = item.alarm.raised
    return item.about is About.OVER, _URGENCY[raised.priority], raised.at_us


def _subject(items: Sequence[Item], workshop: str) -> str:
    first, benches = items[0], {item.alarm.raised.bench for item in items}
    bench = first.alarm.raised.bench if len(benches) == 1 else None
    where = f"{workshop}, {bench}" if bench else workshop
    said = f"{_PREFIX[first.about]}{title(first.alarm)}"
    if len(items) > 1:
        return f"{where}: {said}, and {len(items) - 1} more"
    lot = f" (lot {first.alarm.raised.lot})" if first.alarm.raised.lot else ""
    return f"{where}: {said}{lot}"


def _in_full(alarm: Alarm, zone: ZoneInfo, now_us: int) -> str:
    raised = alarm.raised
    since = f"Since {_when(raised.at_us, zone, now_us)}. {_where(alarm)}."
    todo = [f"Do now: {raised.advice}"] if raised.advice else []
    return "\n".join([raised.message, *todo, since])


def _where(alarm: Alarm) -> str:
    raised = alarm.raised
    known = {
        "bench": raised.bench,
        "lot": raised.lot,
        "pitcher": raised.pitcher,
        "vessel": raised.vessel,
        "priority": raised.priority.value,
    }
    text = ", ".join(f"{name} {value}" for name, value in known.items() if value is not None)
    return text[:1].upper() + text[1:]


def _line(alarm: Alarm, zone: ZoneInfo, now_us: int) -> str:
    return f"{alarm.raised.message} Since {_when(alarm.raised.at_us, zone, now_us)}."


def _past(alarm: Alarm, zone: ZoneInfo, now_us: int) -> str:
    raised = alarm.raised
    span = f"from {_when(raised.at_us, zone, now_us)}"
    if alarm.cleared_us is not None:
        span += f" to {_when(alarm.cleared_us, zone, now_us)}"
    waits = " It waits to be reset." if alarm.state is AlarmState.LATCHED else ""
    outcome = f" ({alarm.outcome})" if alarm.outcome else ""
    return f"{raised.message} {span[:1].upper()}{span[1:]}{outcome}.{waits}"


def _listed(head: str, lines: Sequence[str]) -> str:
    shown = [f"- {line}" for line in lines[:MOST_LISTED]]
    more = len(lines) - len(shown)
    return "\n".join([head, *shown, *([f"- and {more} more"] if more else [])])


# ------------------------------------------------------------ tests


def _told(rules: NoticeRules) -> str:
    if rules.from_priority is Priority.LOW:
        return "all alarms"
    if rules.from_priority is Priority.HIGH:
        return "alarms of high priority"
    return f"alarms of {rules.from_priority} priority and above"


def _quiet(rules: NoticeRules) -> str:
    let = "only high ones come" if rules.high_passes else "none comes"
    hours = rules.quiet
    return f"From {hours.begin} to {hours.end} {let}." if hours is not None else ""


def _standing(standing: int) -> str:
    if standing == 0:
        return "At the moment no alarm wants an answer."
    return (
        f"At the moment {standing} {'alarm wants' if standing == 1 else 'alarms want'} an answer."
    )


def _next_test(rules: NoticeRules, now_us: int) -> str:
    next_us = rules.next_test_us(now_us)
    if next_us is None:
        return "There is no daily test."
    when = _when(next_us, rules.zone, now_us)
    return f"The next test comes at {when}. If it does not come, look at the page."


# ------------------------------------------------------------ times


def _when(at_us: int, zone: ZoneInfo, now_us: int) -> str:
    """Write a time by the workshop's clock, with its day where that is not today."""
    at, now = local(at_us, zone), local(now_us, zone)
    clock = f"{at:%H:%M}"
    return clock if at.date() == now.date() else f"{clock} on {_day(at)}"


def _day(at: datetime) -> str:
    return f"{at:%A} {at.day} {at:%B}"
