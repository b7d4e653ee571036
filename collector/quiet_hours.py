"""Times of the day in a zone: when each comes next, and the hours between two of them."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import count
from zoneinfo import ZoneInfo

import msgspec

MINUTES_A_DAY = 1440

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)
_MINUTE = timedelta(minutes=1)


class DailyTime(msgspec.Struct, frozen=True):
    """A time of the day, in minutes since midnight by the wall clock."""

    minute: int

    def __str__(self) -> str:
        return f"{self.minute // 60:02}:{self.minute % 60:02}"

    def next_us(self, after_us: int, zone: ZoneInfo) -> int:
        """Return when it comes next after a time, UTC microseconds.

        It comes once a day: the first time where the clock is put back over it, and where the
        clock is put forward over it, at that moment.
        """
        day = local(after_us, zone).date() - timedelta(days=1)
        moments = (self._on(day + timedelta(days=n), zone) for n in count())
        return next(moment for moment in moments if moment > after_us)

    def _on(self, day: date, zone: ZoneInfo) -> int:
        wall = datetime.combine(day, time()) + self.minute * _MINUTE
        while True:
            there = wall.replace(tzinfo=zone).astimezone(UTC)
            if there.astimezone(zone).replace(tzinfo=None) == wall:
                return (there - _EPOCH) // _MICROSECOND
            wall += _MINUTE  # the clock skips it


class QuietHours(msgspec.Struct, frozen=True):
    """From one time of the day, included, to another, excluded; across midnight if need be."""

    begin: DailyTime
    end: DailyTime

    def covers(self, daily: DailyTime) -> bool:
        """Tell whether a time of the day is in them."""
        length = (self.end.minute - self.begin.minute) % MINUTES_A_DAY
        return (daily.minute - self.begin.minute) % MINUTES_A_DAY < length

    def cover(self, at_us: int, zone: ZoneInfo) -> bool:
        """Tell whether the wall clock stands in them at a time."""
        wall = local(at_us, zone)
        return self.covers(DailyTime(wall.hour * 60 + wall.minute))


def local(at_us: int, zone: ZoneInfo) -> datetime:
    """Return a time, UTC microseconds, as the wall clock of a zone shows it."""
    return (_EPOCH + at_us * _MICROSECOND).astimezone(zone)
