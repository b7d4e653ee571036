"""Alarm events of one bench, in a line each."""

from collector.alarm_events import AlarmCleared, AlarmFolded, AlarmRaised, Bounds
from collector.answer_events import (
    AlarmAcknowledged,
    AlarmReset,
    AlarmShelved,
    AlarmUnshelved,
    RulePutBack,
    RuleTakenOut,
)
from collector.phases import Phase, PhaseName
from collector.priorities import Priority

SECOND = 1_000_000
MINUTE = 60 * SECOND
HOUR = 60 * MINUTE
POT = "creek-pot"


def raised(
    alarm: str = "1.1",
    at_us: int = 0,
    *,
    latched: bool = False,
    priority: Priority = Priority.HIGH,
    rule: str = "over-temperature",
    subject: str | None = POT,
    lot: str | None = "1",
    pitcher: int | None = None,
    vessel: int | None = None,
    phase: PhaseName | None = None,
) -> AlarmRaised:
    return AlarmRaised(
        at_us=at_us,
        bench="creek",
        lot=lot,
        alarm=alarm,
        rule=rule,
        priority=priority,
        phase=phase,
        pitcher=pitcher,
        vessel=vessel,
        subject=subject,
        limit=Bounds(None, 93_000),
        measured=94_000,
        unit="degC",
        message="too hot",
        advice="turn it down",
        latched=latched,
    )


def light_vessel(alarm: str, at_us: int, lot: str, vessel: int) -> AlarmRaised:
    return raised(
        alarm,
        at_us,
        rule="fill-grams",
        subject=None,
        lot=lot,
        pitcher=1,
        vessel=vessel,
        phase=Phase.POUR,
    )


def acknowledged(alarm: str = "1.1", at_us: int = 5) -> AlarmAcknowledged:
    return AlarmAcknowledged(at_us=at_us, bench="creek", lot="1", alarm=alarm, note="seen")


def cleared(alarm: str = "1.1", at_us: int = 9) -> AlarmCleared:
    return AlarmCleared(at_us=at_us, bench="creek", lot="1", alarm=alarm, outcome="put right")


def folded(alarm: str, into: str, at_us: int) -> AlarmFolded:
    return AlarmFolded(at_us=at_us, bench="creek", lot="1", alarm=alarm, into=into)


def reset(alarm: str = "1.1", at_us: int = 20) -> AlarmReset:
    return AlarmReset(at_us=at_us, bench="creek", lot="1", alarm=alarm)


def shelved(alarm: str = "1.1", at_us: int = 5, until_us: int = 100) -> AlarmShelved:
    return AlarmShelved(
        at_us=at_us, bench="creek", lot="1", alarm=alarm, until_us=until_us, reason="melting"
    )


def unshelved(alarm: str = "1.1", at_us: int = 50) -> AlarmUnshelved:
    return AlarmUnshelved(at_us=at_us, bench="creek", lot="1", alarm=alarm)


def taken_out(
    rule: str = "over-temperature", subject: str | None = None, at_us: int = 5
) -> RuleTakenOut:
    return RuleTakenOut(
        at_us=at_us, bench="creek", lot="1", rule=rule, subject=subject, reason="probe broken"
    )


def put_back(
    rule: str = "over-temperature", subject: str | None = None, at_us: int = 50
) -> RulePutBack:
    return RulePutBack(at_us=at_us, bench="creek", lot="1", rule=rule, subject=subject)
