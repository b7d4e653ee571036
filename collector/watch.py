"""What is watched at a bench whatever the lot is doing: silent instruments and hot wax."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import msgspec

from collector import rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.attendance import Unattended
from collector.display import Display, duration
from collector.events import AnyDerived
from collector.limits import Crossing, LimitWatch
from collector.procedure import Where
from collector.readings import Channel, Quality, Reading, Role
from collector.recipes import Manner
from collector.service_events import InstrumentFound, InstrumentLost
from collector.unattended import Attendance

LOST_US = 2_000_000
"""A port that fails for less is a loose plug that was pushed home. Common practice, no source."""

HOT_ROLES = (Role.POT, Role.PITCHER)
"""Where the wax's greatest temperature holds."""


@dataclass
class Presence:
    """Whether one channel gives readings; `told` says that an alarm of its silence stands."""

    channel: Channel
    heard_us: int
    lost: InstrumentLost | None = None
    told: bool = False

    @property
    def key(self) -> AlarmKey:
        """What the alarm of its silence is known by."""
        return AlarmKey(rules.INSTRUMENT_SILENT, subject=self.channel.name)


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
        self._book = book
        self._display = display
        self._presence = {channel.name: Presence(channel, since_us) for channel in channels}
        self._heat = heat
        self._hot = _limits(channels, heat)
        self._attendance = Attendance(heat.unattended, since_us)
        self._left_alone: set[str] = set()  # the pots with an alarm of that

    def read(self, where: Where, reading: Reading) -> list[AnyDerived]:
        """Take one reading; one without a usable number counts as silence."""
        doubtful = reading.quality >= Quality.SUSPECT
        if doubtful and reading.quality is Quality.BAD:
            return []
        presence = self._presence[reading.channel]
        events: list[AnyDerived] = []
        if presence.told:
            silent_us = reading.taken_us - presence.heard_us
            outcome = f"reading again after {duration(silent_us)}"
            events += self._book.clear(where, presence.key, outcome)
        presence.heard_us, presence.lost, presence.told = reading.taken_us, None, False
        if self._attendance.read(presence.channel, reading):
            events += self._attended(where)
        if self._left_alone:
            events += self._cooled(where, reading)
        hot = self._hot.get(reading.channel)
        if doubtful or hot is None:
            return events  # what a doubtful one says decides nothing, but it speaks
        return events + self._judge_heat(where, reading, hot)

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
        for presence in self._presence.values():
            if presence.told or not self._silent(presence, where.at_us):
                continue
            presence.told = True
            violation = self._silence(presence, where.at_us)
            events += self._book.raise_alarm(where, presence.key, violation)
        return events + self._judge_attendance(where)

    @staticmethod
    def _silent(presence: Presence, now_us: int) -> bool:
        patience_us = presence.channel.silent_after_us
        if patience_us is None:
            return False
        if presence.lost is not None and now_us - presence.lost.at_us >= LOST_US:
            return True
        return now_us - presence.heard_us >= patience_us

    @staticmethod
    def _silence(presence: Presence, now_us: int) -> rules.Violation:
        name = presence.channel.name
        if presence.lost is not None:
            return rules.instrument_silent(name, "", presence.lost.reason, presence.lost.remedy)
        since = f" for {duration(now_us - presence.heard_us)}"
        remedy = "Check its plug, its batteries and whether it has switched itself off."
        return rules.instrument_silent(name, since, "it is connected but says nothing", remedy)

    def _judge_heat(self, where: Where, reading: Reading, watch: LimitWatch) -> list[AnyDerived]:
        crossing = watch.feed(reading.taken_us, reading.value)
        if crossing is None:
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
