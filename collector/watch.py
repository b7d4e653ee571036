"""What is watched at a bench whatever the lot is doing: silent instruments and hot wax."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import msgspec

from collector import rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.attendance import Unattended
from collector.display import Display, duration
from collector.events import AnyDerived, InstrumentFound, InstrumentLost
from collector.limits import Crossing, LimitWatch
from collector.procedure import Where
from collector.readings import Channel, Quality, Reading, Role
from collector.recipes import Manner
from collector.unattended import Attendance

LOST_US = 2_000_000
"""A port that fails for less is a loose plug that was pushed home. Common practice, no source."""

HOT_ROLES = (Role.POT, Role.PITCHER)
"""Where the wax's greatest temperature holds."""


@dataclass
class Presence:
    """Whether one channel gives readings."""

    heard_us: int
    lost: InstrumentLost | None = None


class Heat(msgspec.Struct, frozen=True):
    """What of a bench's heat is watched; None is not watched."""

    never_above_mdegc: int | None = None
    manner: Manner = Manner()
    unattended: Unattended | None = None


class Watch:
    """Follows the channels of one bench; it starts afresh with every lot."""

    def __init__(
        self,
        channels: Sequence[Channel],
        heat: Heat,
        book: AlarmBook,
        display: Display,
        since_us: int,
    ) -> None:
        self._channels = {channel.name: channel for channel in channels}
        self._book = book
        self._display = display
        self._presence = {channel.name: Presence(since_us) for channel in channels}
        self._heat = heat
        self._hot = _limits(channels, heat)
        self._attendance = Attendance(heat.unattended, since_us)
        self._left_alone: set[str] = set()  # the pots with an alarm of that

    def read(self, where: Where, reading: Reading) -> list[AnyDerived]:
        """Take one reading; one without a usable number counts as silence."""
        if reading.quality is Quality.BAD:
            return []
        presence = self._presence[reading.channel]
        silent_us = reading.taken_us - presence.heard_us
        presence.heard_us, presence.lost = reading.taken_us, None
        key = AlarmKey(rules.INSTRUMENT_SILENT, subject=reading.channel)
        events: list[AnyDerived] = []
        if key in self._book:
            events += self._book.clear(where, key, f"reading again after {duration(silent_us)}")
        if self._attendance.read(self._channels[reading.channel], reading):
            events += self._attended(where)
        if self._left_alone:
            events += self._cooled(where, reading)
        if reading.quality is Quality.SUSPECT:
            return events  # it speaks, but what it says decides nothing
        return events + self._judge_heat(where, reading)

    def attend(self, where: Where) -> list[AnyDerived]:
        """Take note that a person did something at the bench."""
        events = self._attended(where)
        self._attendance.sign(where.at_us)
        return events

    def lose(self, lost: InstrumentLost) -> None:
        """Take note of a port that failed."""
        presence = self._presence.get(lost.instrument)
        if presence is not None:
            presence.lost = lost

    def find(self, found: InstrumentFound) -> None:
        """Take note of a port that works again; the first reading clears the alarm."""
        presence = self._presence.get(found.instrument)
        if presence is not None:
            presence.lost = None

    def resume(self, at_us: int) -> None:
        """Forgive the silence of a time in which nothing was collected."""
        for presence in self._presence.values():
            presence.heard_us = at_us
        self._attendance.sign(at_us)

    def tick(self, where: Where) -> list[AnyDerived]:
        """Let time pass: find what has fallen silent."""
        events: list[AnyDerived] = []
        for name, presence in self._presence.items():
            key = AlarmKey(rules.INSTRUMENT_SILENT, subject=name)
            if key in self._book or not self._silent(name, presence, where.at_us):
                continue
            events += self._book.raise_alarm(where, key, self._silence(name, presence, where.at_us))
        return events + self._judge_attendance(where)

    def _silent(self, name: str, presence: Presence, now_us: int) -> bool:
        patience_us = self._channels[name].silent_after_us
        if patience_us is None:
            return False
        if presence.lost is not None and now_us - presence.lost.at_us >= LOST_US:
            return True
        return now_us - presence.heard_us >= patience_us

    def _silence(self, name: str, presence: Presence, now_us: int) -> rules.Violation:
        if presence.lost is not None:
            return rules.instrument_silent(name, "", presence.lost.reason, presence.lost.remedy)
        since = f" for {duration(now_us - presence.heard_us)}"
        remedy = "Check its plug, its batteries and whether it has switched itself off."
        return rules.instrument_silent(name, since, "it is connected but says nothing", remedy)

    def _judge_heat(self, where: Where, reading: Reading) -> list[AnyDerived]:
        watch = self._hot.get(reading.channel)
        crossing = watch.feed(reading.taken_us, reading.value) if watch is not None else None
        if watch is None or crossing is None:
            return []
        key = AlarmKey(rules.OVER_TEMPERATURE, subject=reading.channel)
        if crossing is Crossing.KEPT:
            outcome = f"back to {self._display.degrees(reading.value)}"
            return list(self._book.clear(where, key, outcome))
        violation = rules.over_temperature(
            reading.channel, watch.spec.high or 0, reading.value, self._display
        )
        return list(self._book.raise_alarm(where, key, violation))

    # ------------------------------------------------------------ nobody there

    def _judge_attendance(self, where: Where) -> list[AnyDerived]:
        above_mdegc = self._heat.unattended.above_mdegc if self._heat.unattended else 0
        events: list[AnyDerived] = []
        for reading, alone_us in self._attendance.left_hot(where.at_us):
            key = AlarmKey(rules.UNATTENDED_HEAT, subject=reading.channel)
            violation = rules.unattended_heat(reading, above_mdegc, alone_us, self._display)
            events += self._book.raise_alarm(where, key, violation)
            self._left_alone.add(reading.channel)
        return events

    def _attended(self, where: Where) -> list[AnyDerived]:
        keys = [AlarmKey(rules.UNATTENDED_HEAT, subject=pot) for pot in sorted(self._left_alone)]
        self._left_alone.clear()
        return [e for key in keys for e in self._book.clear(where, key, "somebody is there")]

    def _cooled(self, where: Where, reading: Reading) -> list[AnyDerived]:
        if reading.channel not in self._left_alone or reading.channel in self._attendance.hot:
            return []
        self._left_alone.remove(reading.channel)
        key = AlarmKey(rules.UNATTENDED_HEAT, subject=reading.channel)
        outcome = f"cooled to {self._display.degrees(reading.value)}"
        return list(self._book.clear(where, key, outcome))


def _limits(channels: Sequence[Channel], heat: Heat) -> Mapping[str, LimitWatch]:
    if heat.never_above_mdegc is None:
        return {}
    return {
        channel.name: LimitWatch(
            rules.over_temperature_limit(heat.never_above_mdegc, heat.manner, typed=channel.typed)
        )
        for channel in channels
        if channel.role in HOT_ROLES
    }
