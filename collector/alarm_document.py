"""An alarm as a JSON document for other programs, with the keys that it has over HTTP."""

from datetime import UTC, datetime, timedelta
from typing import Any

import msgspec

from collector.alarms import Alarm

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def alarm_document(alarm: Alarm, now_us: int) -> bytes:
    """Return an alarm as it stands at a time: numbers plain, times RFC 3339 in UTC."""
    raised = alarm.raised
    document: dict[str, Any] = {
        "id": raised.alarm,
        "lot": raised.lot,
        "bench": raised.bench,
        "rule": raised.rule,
        "priority": raised.priority,
        "phase": raised.phase,
        "pitcher": raised.pitcher,
        "vessel": raised.vessel,
        "subject": raised.subject,
        "limit": {
            "low": _plain(raised.unit, raised.limit.low),
            "high": _plain(raised.unit, raised.limit.high),
        },
        "measured": _plain(raised.unit, raised.measured),
        "unit": raised.unit,
        "message": raised.message,
        "advice": raised.advice,
        "raised_at": _instant(raised.at_us),
        "cleared_at": _instant(alarm.cleared_us),
        "outcome": alarm.outcome,
        "acknowledged_at": _instant(alarm.acknowledged_us),
        "note": alarm.note,
        "latched": raised.latched,
        "reset_at": _instant(alarm.reset_us),
        "shelved_until": _instant(alarm.shelved_until_us),
        "shelved_reason": alarm.shelved_why,
        "suppressed_by": alarm.suppressed_by,
        "out_of_service": alarm.out_of_service,
        "folded_into": alarm.folded_into,
        "state": alarm.shown(now_us),
    }
    return msgspec.json.encode(document)


def _plain(unit: str, value: int | None) -> float | None:
    """Return a number of an alarm as a plain one: whole for `count`, else of 0.001."""
    if value is None:
        return None
    return float(value) if unit == "count" else value / 1000


def _instant(us: int | None) -> str | None:
    if us is None:
        return None
    text = (_EPOCH + timedelta(microseconds=us)).isoformat(timespec="milliseconds")
    return text.replace("+00:00", "Z")
