"""The alarms of one bench that are violated now."""

from dataclasses import dataclass

import msgspec

from collector.events import AlarmCleared, AlarmFolded, AlarmRaised
from collector.procedure import Where
from collector.rules import Violation

AlarmEvent = AlarmRaised | AlarmCleared | AlarmFolded


class AlarmKey(msgspec.Struct, frozen=True):
    """What makes two violations the same alarm."""

    rule: str
    pitcher: int | None = None
    vessel: int | None = None
    subject: str | None = None


@dataclass
class AlarmBook:
    """Raises each alarm once and clears it once; `prefix` makes their ids."""

    prefix: str
    raised: int = 0

    def __post_init__(self) -> None:
        self._violated: dict[AlarmKey, str] = {}
        self._seen: set[str] = set()

    def __contains__(self, key: AlarmKey) -> bool:
        return key in self._violated

    def keys(self) -> tuple[AlarmKey, ...]:
        """Return what is violated now."""
        return tuple(self._violated)

    def acknowledge(self, alarm: str) -> None:
        """Take note that a person has seen an alarm, of this book or of another."""
        self._seen.add(alarm)

    def unseen(self, key: AlarmKey) -> bool:
        """Tell whether an alarm is violated and nobody has said so far that she has seen it."""
        return key in self._violated and self._violated[key] not in self._seen

    def raise_alarm(self, where: Where, key: AlarmKey, violation: Violation) -> list[AlarmEvent]:
        """Raise an alarm; nothing happens where it is raised already."""
        if key in self._violated:
            return []
        self.raised += 1
        alarm = self._violated[key] = f"{self.prefix}.{self.raised}"
        return [
            AlarmRaised(
                at_us=where.at_us,
                bench=where.bench,
                lot=where.lot,
                alarm=alarm,
                rule=key.rule,
                priority=violation.priority,
                phase=violation.phase,
                pitcher=key.pitcher,
                vessel=key.vessel,
                subject=key.subject,
                limit=violation.limit,
                measured=violation.measured,
                unit=violation.unit,
                message=violation.message,
                advice=violation.advice,
            )
        ]

    def clear(self, where: Where, key: AlarmKey, outcome: str) -> list[AlarmEvent]:
        """Clear an alarm, saying what happened; nothing happens where it is not raised."""
        alarm = self._violated.pop(key, None)
        if alarm is None:
            return []
        return [
            AlarmCleared(
                at_us=where.at_us,
                bench=where.bench,
                lot=where.lot,
                alarm=alarm,
                outcome=outcome,
            )
        ]

    def fold(self, where: Where, key: AlarmKey, into: AlarmKey) -> list[AlarmEvent]:
        """Fold an alarm into another that turned out to be its cause."""
        cause = self._violated.get(into)
        alarm = self._violated.pop(key, None) if cause is not None else None
        if alarm is None or cause is None:
            return []
        return [
            AlarmFolded(
                at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm, into=cause
            )
        ]

    def clear_all(self, where: Where, outcome: str) -> list[AlarmEvent]:
        """Clear whatever is left: the lot is closed or another begins."""
        return [event for key in self.keys() for event in self.clear(where, key, outcome)]
