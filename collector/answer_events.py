"""What a person does about alarms and rules."""

from collector.event_base import Given


class AlarmAcknowledged(Given, frozen=True, kw_only=True, tag="alarm-acknowledged"):
    """A person has seen an alarm."""

    alarm: str
    note: str = ""


class AlarmShelved(Given, frozen=True, kw_only=True, tag="alarm-shelved"):
    """A person put an alarm aside until a time, and said why."""

    alarm: str
    until_us: int
    reason: str = ""


class AlarmUnshelved(Given, frozen=True, kw_only=True, tag="alarm-unshelved"):
    """A person took a shelved alarm up again before its time."""

    alarm: str


class AlarmReset(Given, frozen=True, kw_only=True, tag="alarm-reset"):
    """A person let go of a latched alarm whose limit holds again."""

    alarm: str


class RuleTakenOut(Given, frozen=True, kw_only=True, tag="rule-taken-out"):
    """A person took a rule out of service at a bench; `subject` narrows it to one channel."""

    rule: str
    subject: str | None
    reason: str


class RulePutBack(Given, frozen=True, kw_only=True, tag="rule-put-back"):
    """A person put a rule back into service."""

    rule: str
    subject: str | None
