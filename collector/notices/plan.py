"""Which alarms are told beyond the room, and when: folded together, held in the quiet hours.

The plan looks at what stands, again and again, instead of following what happens. So it misses
nothing, whatever came in between, and after a restart it tells what still wants an answer.
"""

from collections.abc import Iterable, Iterator
from enum import StrEnum

import msgspec

from collector.alarms import Alarm, AlarmState, Shown
from collector.notice_rules import NoticeRules
from collector.priorities import Priority

_SEEN = (AlarmState.ACKNOWLEDGED, AlarmState.LATCHED_SEEN, AlarmState.ENDED)
_PUT_ASIDE = (Shown.SHELVED, Shown.SUPPRESSED, Shown.OUT_OF_SERVICE)


class About(StrEnum):
    """What there is to tell of an alarm."""

    STANDS = "stands"  # raised, and nobody has seen it
    STANDS_STILL = "stands still"  # told before
    OVER = "over"  # its limit holds again; told before or not


class Item(msgspec.Struct, frozen=True):
    """One alarm in a message."""

    about: About
    alarm: Alarm


class _Told(msgspec.Struct, frozen=True):
    about: About
    at_us: int


class NoticePlan:
    """Decides what one message holds. What one look gave it takes for told."""

    def __init__(self, rules: NoticeRules) -> None:
        self._rules = rules
        self._told: dict[str, _Told] = {}
        self._fold_since_us: int | None = None
        self._began = False
        self.held: tuple[Alarm, ...] = ()
        """What waits for the end of the quiet hours."""
        self.gathered: tuple[Alarm, ...] = ()
        """What is told as soon as nothing more can come to it."""

    def look(self, standing: Iterable[Alarm], now_us: int) -> list[Item]:
        """Return what is to be told now, of the alarms that stand; most often nothing.

        `standing` are all that have not ended, `now_us` is UTC microseconds.
        """
        alarms = [alarm for alarm in standing if self._concerns(alarm, now_us)]
        if not self._began:
            self._begin(alarms, now_us)
        self._forget_all_but(alarms)
        news = list(self._news(alarms, now_us))
        let = [item for item in news if self._rules.passes(item.alarm.raised.priority, now_us)]
        self.held = tuple(item.alarm for item in news if item not in let)
        self.gathered = tuple(item.alarm for item in let)
        if not self._fold_is_over(let, now_us):
            return []
        self.gathered = ()
        for item in let:
            self._told[item.alarm.raised.alarm] = _Told(item.about, now_us)
        return let

    def _begin(self, alarms: Iterable[Alarm], now_us: int) -> None:
        """Take for told what was over before this began."""
        self._began = True
        for alarm in alarms:
            if alarm.state is AlarmState.CLEARED:
                self._told[alarm.raised.alarm] = _Told(About.OVER, now_us)

    def _concerns(self, alarm: Alarm, now_us: int) -> bool:
        """Tell whether an alarm wants an answer of anybody: not seen, not put aside."""
        wanted = self._rules.wanted(alarm.raised.priority) and alarm.state not in _SEEN
        return wanted and alarm.shown(now_us) not in _PUT_ASIDE

    def _forget_all_but(self, alarms: Iterable[Alarm]) -> None:
        """Forget what was seen or ended, and what was put aside: taken up again, it is news."""
        kept = {alarm.raised.alarm for alarm in alarms}
        self._told = {name: told for name, told in self._told.items() if name in kept}

    def _news(self, alarms: Iterable[Alarm], now_us: int) -> Iterator[Item]:
        for alarm in alarms:
            told = self._told.get(alarm.raised.alarm)
            stands = alarm.state is AlarmState.ACTIVE
            if told is None:
                yield Item(About.STANDS if stands else About.OVER, alarm)
            elif not stands and told.about is not About.OVER:
                yield Item(About.OVER, alarm)
            elif stands and self._repeats(alarm, told, now_us):
                yield Item(About.STANDS_STILL, alarm)

    def _repeats(self, alarm: Alarm, told: _Told, now_us: int) -> bool:
        every_us = self._rules.repeat_us
        if every_us is None or alarm.raised.priority is not Priority.HIGH:
            return False
        # A clock that was put back must not put it off.
        return not 0 <= now_us - told.at_us < every_us

    def _fold_is_over(self, let: list[Item], now_us: int) -> bool:
        if not let:
            self._fold_since_us = None
            return False
        if self._fold_since_us is None or self._fold_since_us > now_us:
            self._fold_since_us = now_us
        if now_us - self._fold_since_us < self._rules.fold_us:
            return False
        self._fold_since_us = None
        return True
