"""The alarms of one bench that are violated now: every rule raises and clears through it.

It is the one place that knows how alarms behave whatever their rule: priority and latching as
the recipe says, rules that are out of service, and one alarm for one cause.
"""

from collections.abc import Container, Iterable, Mapping, Sequence

import msgspec

from collector import causes, rules
from collector.alarm_events import (
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmReleased,
    AlarmSuppressed,
)
from collector.errors import ConflictError
from collector.lot_events import OutOfService
from collector.phases import PhaseName
from collector.procedure import Where
from collector.readings import Channel
from collector.recipes import Manner, Recipe
from collector.rules import Violation

AlarmEvent = AlarmRaised | AlarmCleared | AlarmFolded | AlarmSuppressed | AlarmReleased

_USUAL = Manner()


class AlarmKey(msgspec.Struct, frozen=True):
    """What makes two violations the same alarm."""

    rule: str
    pitcher: int | None = None
    vessel: int | None = None
    subject: str | None = None


def manners_of(recipe: Recipe) -> dict[str, Manner]:
    """Return how the alarms of a recipe's rules behave, those of its own limits among them."""
    return {**recipe.manners, **{own.rule: own.manner for own in recipe.own_limits}}


class AlarmBook:
    """Raises each alarm once and clears it once; `prefix` makes their ids.

    A violation of a rule that is out of service is kept, but not announced. A latched alarm
    whose limit holds again is kept until it is reset; where its limit is violated again before
    that, it becomes part of the new alarm.
    """

    def __init__(
        self,
        prefix: str,
        manners: Mapping[str, Manner] | None = None,
        channels: Sequence[Channel] = (),
        out_of_service: Iterable[OutOfService] = (),
    ) -> None:
        self.raised = 0
        self.out_of_service = tuple(out_of_service)
        self._prefix = prefix
        self._manners = manners or {}
        self._roles = {channel.name: channel.role for channel in channels}
        self._violated: dict[AlarmKey, str] = {}
        self._withheld: dict[AlarmKey, Violation] = {}
        self._latched: dict[AlarmKey, str] = {}
        self._suppressed: dict[AlarmKey, str] = {}
        self._seen: set[str] = set()

    def __contains__(self, key: AlarmKey) -> bool:
        """Tell whether a limit is violated, announced or not."""
        return key in self._violated or key in self._withheld

    def keys(self) -> tuple[AlarmKey, ...]:
        """Return what is violated now and was announced."""
        return tuple(self._violated)

    @property
    def violated(self) -> frozenset[str]:
        """The alarms whose limits are violated now."""
        return frozenset(self._violated.values())

    @property
    def latched(self) -> frozenset[str]:
        """The alarms whose limits hold again and that wait for a reset."""
        return frozenset(self._latched.values())

    @property
    def latching(self) -> Mapping[AlarmKey, str]:
        """The alarms that are latched, or will be once their limits hold again."""
        violated = {k: alarm for k, alarm in self._violated.items() if self._manner(k).latched}
        return {**self._latched, **violated}

    @property
    def suppressed(self) -> frozenset[str]:
        """The violated alarms that nobody can judge at present."""
        return frozenset(self._violated[key] for key in self._suppressed)

    # ------------------------------------------------------------ what a person does

    def acknowledge(self, alarm: str) -> None:
        """Take note that a person has seen an alarm, of this book or of another."""
        self._seen.add(alarm)

    def unseen(self, key: AlarmKey) -> bool:
        """Tell whether an alarm stands that nobody has said so far that she has seen."""
        alarm = self._violated.get(key)
        return alarm is not None and alarm not in self._seen and not self._is_out(key)

    def reset(self, alarm: str) -> None:
        """Let go of a latched alarm, of this book or of another."""
        self._latched = {key: kept for key, kept in self._latched.items() if kept != alarm}

    def check_takes_out(self, rule: str, subject: str | None) -> None:
        """Raise ConflictError where a rule is out of service already."""
        for out in self.out_of_service:
            if out.rule == rule and out.subject in {None, subject}:
                raise ConflictError(
                    f"{_named(rule, out.subject)} is out of service already: {out.reason}"
                )

    def take_out(self, out: OutOfService) -> None:
        """Announce a rule no more. What stands goes on, and the outside sees it as taken out."""
        self.out_of_service += (out,)

    def check_puts_back(self, rule: str, subject: str | None) -> None:
        """Raise ConflictError where a rule is not out of service under just this name."""
        if not any((out.rule, out.subject) == (rule, subject) for out in self.out_of_service):
            raise ConflictError(f"{_named(rule, subject)} is not out of service.")

    def put_back(self, where: Where, rule: str, subject: str | None) -> list[AlarmEvent]:
        """Announce a rule again, and with it what has been violated since and still is.

        An alarm of that kind tells the numbers that were found at the time. What a rule found
        about a pitcher or a vessel is past by then, and stays unsaid.
        """
        self.out_of_service = tuple(
            out for out in self.out_of_service if (out.rule, out.subject) != (rule, subject)
        )
        events: list[AlarmEvent] = []
        for key, violation in tuple(self._withheld.items()):
            if not self._is_out(key, violation.phase):
                del self._withheld[key]
                if key.pitcher is None:
                    events += self.raise_alarm(where, key, violation)
        return events

    # ------------------------------------------------------------ what the rules find

    def raise_alarm(self, where: Where, key: AlarmKey, violation: Violation) -> list[AlarmEvent]:
        """Raise an alarm; nothing happens where it is raised already or is out of service."""
        if key in self:
            return []
        if self._is_out(key, violation.phase):
            self._withheld[key] = violation
            return []
        self.raised += 1
        alarm = self._violated[key] = f"{self._prefix}.{self.raised}"
        events: list[AlarmEvent] = [self._raised(where, key, violation)]
        before = self._latched.pop(key, None)
        if before is not None:
            events.append(_folded(where, before, alarm))
        if key.rule == rules.INSTRUMENT_SILENT:
            return events + self._suppress(where, key)
        cause = self._cause_of(key, violation.phase)
        return events + (self.fold(where, key, cause) if cause is not None else [])

    def clear(self, where: Where, key: AlarmKey, outcome: str) -> list[AlarmEvent]:
        """Clear an alarm, saying what happened; nothing happens where it is not raised."""
        self._withheld.pop(key, None)
        alarm = self._violated.pop(key, None)
        if alarm is None:
            return []
        self._suppressed.pop(key, None)
        if self._manner(key).latched:
            self._latched[key] = alarm
        events: list[AlarmEvent] = [
            AlarmCleared(
                at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm, outcome=outcome
            )
        ]
        return events + self._release(where, alarm)

    def fold(self, where: Where, key: AlarmKey, into: AlarmKey) -> list[AlarmEvent]:
        """Fold an alarm into another that turned out to be its cause."""
        cause = self._violated.get(into)
        alarm = self._violated.pop(key, None) if cause is not None else None
        if alarm is None or cause is None:
            return []
        self._suppressed.pop(key, None)
        return [_folded(where, alarm, cause), *self._release(where, alarm)]

    def clear_all(self, where: Where, outcome: str) -> list[AlarmEvent]:
        """Clear whatever is left: the lot is closed or another begins."""
        self._withheld.clear()
        return [event for key in self.keys() for event in self.clear(where, key, outcome)]

    def succeed(
        self,
        mistaken: "AlarmBook",
        names: Mapping[str, str],
        dropped: Container[str],
        unsaid: Container[str],
    ) -> None:
        """Take the place of a book that rested on a mistake.

        `names` are the names under which alarms of this one are known; of those that were
        `dropped`, the latched ones stay until they are reset; what is `unsaid` does not.
        """
        self._latched = {k: alarm for k, alarm in self._latched.items() if alarm not in unsaid}
        for kept in (self._violated, self._latched, self._suppressed):
            kept.update({key: names.get(alarm, alarm) for key, alarm in kept.items()})
        for key, alarm in mistaken.latching.items():
            if alarm in dropped and key not in self._violated:
                self._latched[key] = alarm

    # ------------------------------------------------------------ one cause, one alarm

    def _cause_of(self, key: AlarmKey, phase: PhaseName | None) -> AlarmKey | None:
        for silent in self._violated:
            role = self._roles.get(silent.subject or "")
            if silent.rule != rules.INSTRUMENT_SILENT or role is None:
                continue
            if causes.unseen(role, key.rule, phase):
                return silent
        return None

    def _suppress(self, where: Where, silent: AlarmKey) -> list[AlarmEvent]:
        by, channel = self._violated[silent], silent.subject or ""
        events: list[AlarmEvent] = []
        for key, alarm in self._violated.items():
            if key not in self._suppressed and causes.follows_value(key.rule, key.subject, channel):
                self._suppressed[key] = by
                events.append(
                    AlarmSuppressed(
                        at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm, by=by
                    )
                )
        return events

    def _release(self, where: Where, cause: str) -> list[AlarmEvent]:
        events: list[AlarmEvent] = []
        for key in [key for key, by in self._suppressed.items() if by == cause]:
            del self._suppressed[key]
            alarm = self._violated[key]
            events.append(
                AlarmReleased(at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm)
            )
        return events

    # ------------------------------------------------------------ manner and service

    def _manner(self, key: AlarmKey) -> Manner:
        return self._manners.get(key.rule, _USUAL)

    def _is_out(self, key: AlarmKey, phase: PhaseName | None = None) -> bool:
        return any(
            out.rule == key.rule and (out.subject is None or out.subject in {key.subject, phase})
            for out in self.out_of_service
        )

    def _raised(self, where: Where, key: AlarmKey, violation: Violation) -> AlarmRaised:
        manner = self._manner(key)
        return AlarmRaised(
            at_us=where.at_us,
            bench=where.bench,
            lot=where.lot,
            alarm=self._violated[key],
            rule=key.rule,
            priority=manner.priority or violation.priority,
            phase=violation.phase,
            pitcher=key.pitcher,
            vessel=key.vessel,
            subject=key.subject,
            limit=violation.limit,
            measured=violation.measured,
            unit=violation.unit,
            message=violation.message,
            advice=violation.advice,
            latched=manner.latched,
        )


def _folded(where: Where, alarm: str, into: str) -> AlarmFolded:
    return AlarmFolded(at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm, into=into)


def _named(rule: str, subject: str | None) -> str:
    return rule if subject is None else f"{rule} of {subject}"
