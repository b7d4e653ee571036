"""The limits that a recipe adds: on the temperature of a role, or on how fast it changes."""

from collections.abc import Iterable
from dataclasses import dataclass

from collector import own_rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.events import AnyDerived
from collector.limits import Crossing, LimitWatch
from collector.lot_events import LotOpened
from collector.phases import PhaseName
from collector.procedure import Where
from collector.rates import Rate
from collector.readings import Channel, Quality, Reading
from collector.recipes import OwnLimit


@dataclass
class Followed:
    """One limit on one channel; `rate` where it is the change that is judged."""

    limit: OwnLimit
    channel: str
    watch: LimitWatch
    rate: Rate | None

    @property
    def key(self) -> AlarmKey:
        """What its alarm is known by."""
        return AlarmKey(self.limit.rule, subject=self.channel)

    def judged_in(self, phase: PhaseName | None) -> bool:
        """Tell whether it is judged while a phase goes on, or none."""
        return not self.limit.during or phase in self.limit.during


class OwnLimits:
    """Follows the own limits of one lot, reading by reading."""

    def __init__(self, opened: LotOpened, book: AlarmBook) -> None:
        self._book = book
        self._display = opened.display
        self._followed = tuple(
            found
            for limit in opened.recipe.own_limits
            for found in _followed(limit, opened.channels)
        )

    def read(self, where: Where, reading: Reading, phase: PhaseName | None) -> list[AnyDerived]:
        """Take one reading of a thermometer; only a good one is judged."""
        if reading.quality is not Quality.GOOD:
            return []
        events: list[AnyDerived] = []
        for followed in self._followed:
            if followed.channel == reading.channel:
                events += self._judge(where, followed, reading, phase)
        return events

    def _judge(
        self, where: Where, followed: Followed, reading: Reading, phase: PhaseName | None
    ) -> list[AnyDerived]:
        value: int | None = reading.value
        if followed.rate is not None:  # it goes on between the phases: a rate needs its minute
            value = followed.rate.feed(reading.taken_us, reading.value)
        if value is None or not followed.judged_in(phase):
            return []
        crossing = followed.watch.feed(reading.taken_us, value)
        if crossing is Crossing.KEPT:
            outcome = f"back to {self._said(followed, value)}"
            return list(self._book.clear(where, followed.key, outcome))
        if crossing is Crossing.VIOLATED:
            violation = own_rules.own_violation(
                followed.limit, followed.watch.spec, reading.channel, value, phase, self._display
            )
            return list(self._book.raise_alarm(where, followed.key, violation))
        return []

    def _said(self, followed: Followed, value: int) -> str:
        if followed.rate is None:
            return self._display.degrees(value)
        return self._display.degrees_a_minute(value)

    def tick(self, where: Where, phase: PhaseName | None) -> list[AnyDerived]:
        """Let time pass: what is judged in some phases only ends with them."""
        events: list[AnyDerived] = []
        for followed in self._followed:
            if not followed.judged_in(phase):
                followed.watch.start_afresh()
                events += self._book.clear(where, followed.key, "judged no longer in this phase")
        return events


def _followed(limit: OwnLimit, channels: Iterable[Channel]) -> Iterable[Followed]:
    on_rate = limit.fall_per_min is not None or limit.rise_per_min is not None
    for channel in channels:
        if channel.role is not limit.role or (on_rate and channel.typed):
            continue  # a person types too seldom for a rate
        if on_rate:
            yield Followed(limit, channel.name, LimitWatch(own_rules.own_rate(limit)), Rate())
        else:
            spec = own_rules.own_limit(limit, typed=channel.typed)
            yield Followed(limit, channel.name, LimitWatch(spec), None)
