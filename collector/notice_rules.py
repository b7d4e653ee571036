"""What of the alarms is told beyond the room, and when."""

from zoneinfo import ZoneInfo

import msgspec

from collector.priorities import Priority
from collector.quiet_hours import DailyTime, QuietHours

_URGENCY = {priority: place for place, priority in enumerate(Priority)}


class NoticeRules(msgspec.Struct, frozen=True, kw_only=True):
    """Which alarms are told and when; durations are in microseconds.

    Alarms that come within `fold_us` of the first are one message. `repeat_us` is after how long
    a high alarm that nobody has acknowledged is told again, None never. `high_passes` says whether
    high alarms are told in the quiet hours too. `test_at` is when the daily test is sent, None
    never.
    """

    zone: ZoneInfo
    from_priority: Priority = Priority.MEDIUM
    fold_us: int = 30_000_000
    repeat_us: int | None = None
    quiet: QuietHours | None = None
    high_passes: bool = True
    test_at: DailyTime | None = DailyTime(8 * 60)

    def wanted(self, priority: Priority) -> bool:
        """Tell whether alarms of a priority are told at all."""
        return _URGENCY[priority] <= _URGENCY[self.from_priority]

    def passes(self, priority: Priority, at_us: int) -> bool:
        """Tell whether alarms of a priority may be told at a time."""
        return (priority is Priority.HIGH and self.high_passes) or not self.quiet_at(at_us)

    def quiet_at(self, at_us: int) -> bool:
        """Tell whether a time, UTC microseconds, is in the quiet hours."""
        return self.quiet is not None and self.quiet.cover(at_us, self.zone)

    def quiet_until_us(self, at_us: int) -> int | None:
        """Return when the quiet hours that go on at a time end, None where there are none."""
        if self.quiet is None or not self.quiet_at(at_us):
            return None
        return self.quiet.end.next_us(at_us, self.zone)

    def next_test_us(self, after_us: int) -> int | None:
        """Return when the next daily test is due; one in the quiet hours waits for their end."""
        if self.test_at is None:
            return None
        in_quiet = self.quiet is not None and self.quiet.covers(self.test_at)
        at = self.quiet.end if self.quiet is not None and in_quiet else self.test_at
        return at.next_us(after_us, self.zone)
