"""What the bench concludes of limits: the life of an alarm."""

from typing import Literal

import msgspec

from collector.event_base import Derived
from collector.phases import PhaseName
from collector.priorities import Priority


class Bounds(msgspec.Struct, frozen=True):
    """What was allowed, in the unit of the quantity's resolution; None is no bound."""

    low: int | None
    high: int | None


Unit = Literal["degC", "degC/min", "g", "s", "count"]


class AlarmRaised(Derived, frozen=True, kw_only=True, tag="alarm-raised"):
    """A limit was violated.

    `limit` and `measured` are integers of 0.001 `unit`, but whole for `count`. `measured` is
    None where nothing was measured (a step skipped, an instrument silent).
    `subject` names the channel or instrument where there is one.
    """

    alarm: str
    rule: str
    priority: Priority
    phase: PhaseName | None
    pitcher: int | None
    vessel: int | None
    subject: str | None
    limit: Bounds
    measured: int | None
    unit: Unit
    message: str
    advice: str
    latched: bool = False


class AlarmSuppressed(Derived, frozen=True, kw_only=True, tag="alarm-suppressed"):
    """The instrument under an alarm went bad: nobody can tell whether it still holds.

    `by` is the alarm of the instrument.
    """

    alarm: str
    by: str


class AlarmReleased(Derived, frozen=True, kw_only=True, tag="alarm-released"):
    """The instrument under a suppressed alarm is good again."""

    alarm: str


class AlarmCleared(Derived, frozen=True, kw_only=True, tag="alarm-cleared"):
    """The limit holds again, or can no longer be judged; `outcome` says what happened."""

    alarm: str
    outcome: str


class AlarmFolded(Derived, frozen=True, kw_only=True, tag="alarm-folded"):
    """An alarm turned out to be a consequence or first sign of another one."""

    alarm: str
    into: str


class AlarmRestored(Derived, frozen=True, kw_only=True, tag="alarm-restored"):
    """What cleared an alarm, or made it part of another, was taken back: it stands as before."""

    alarm: str
