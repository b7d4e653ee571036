"""Times as the outside sees them: RFC 3339, UTC, milliseconds."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_LATEST_US = (datetime(9999, 12, 31, tzinfo=UTC) - _EPOCH) // timedelta(microseconds=1)

LATEST_S = _LATEST_US // 1_000_000
"""The latest time that can be written, seconds since 1970."""


def instant(us: int) -> str:
    """Write UTC microseconds as RFC 3339 text."""
    text = (_EPOCH + timedelta(microseconds=us)).isoformat(timespec="milliseconds")
    return text.replace("+00:00", "Z")


def instant_or_none(us: int | None) -> str | None:
    """Write UTC microseconds as RFC 3339 text, None as None."""
    return None if us is None else instant(us)


def seconds(us: int) -> float:
    """Write UTC microseconds as seconds since 1970, as curves do."""
    return us / 1_000_000


def microseconds(moment: datetime) -> int:
    """Return an aware time as UTC microseconds since 1970, held to the years 1970 to 9999."""
    us = (moment - _EPOCH) // timedelta(microseconds=1)
    return max(0, min(us, _LATEST_US))


def local_date(us: int, timezone: str) -> date:
    """Return the date in a time zone (IANA name) at a time in microseconds since 1970."""
    return datetime.fromtimestamp(us / 1_000_000, ZoneInfo(timezone)).date()
