"""The JSON of the alarms' log, of their figures, and of rules that are out of service.

Times are RFC 3339 UTC, durations seconds, shares from 0 to 1.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from api.shapes import Body, Bounds
from collector.alarm_events import Unit
from collector.priorities import Priority

AlarmState = Literal[
    "active",
    "acknowledged",
    "cleared",
    "latched",
    "shelved",
    "suppressed",
    "out of service",
    "ended",
]


class TakeOutRequest(Body):
    """A rule is announced no more at a bench: for all of it, or for one channel or phase."""

    rule: str = Field(min_length=1, max_length=200)
    subject: str | None = Field(None, min_length=1, max_length=200)
    reason: str = Field(min_length=1, max_length=200)


class PutBackRequest(Body):
    """A rule is announced again."""

    rule: str = Field(min_length=1, max_length=200)
    subject: str | None = Field(None, min_length=1, max_length=200)


class OutOfServiceShown(BaseModel):
    """A rule that a bench does not announce at present."""

    bench: str
    rule: str
    subject: str | None
    reason: str
    since: str


class LogEntryShown(BaseModel):
    """One event of the log; `state` is the alarm's after it, null where there is no alarm."""

    at: str
    event: str
    alarm: str | None
    bench: str | None
    lot: str | None
    rule: str
    subject: str | None
    priority: Priority | None
    state: AlarmState | None
    text: str = Field(description="what the service said, or a person: a note, a reason")
    until: str | None = Field(description="until when it is shelved")


class CrowdShown(BaseModel):
    """The most alarms in a window."""

    model_config = ConfigDict(populate_by_name=True)

    alarms: int
    from_: str | None = Field(alias="from")


class FloodShown(BaseModel):
    """More alarms than a person can answer; `peak` is the most in ten minutes."""

    model_config = ConfigDict(populate_by_name=True)

    from_: str = Field(alias="from")
    to: str | None
    peak: int


class RecurrenceShown(BaseModel):
    """How often an alarm came."""

    bench: str | None
    rule: str
    subject: str | None
    alarms: int


class AnswersShown(BaseModel):
    """How soon alarms were acknowledged."""

    acknowledged: int
    never: int
    median_seconds: float | None
    p95_seconds: float | None


class PriorityShare(BaseModel):
    """How many of the alarms have a priority."""

    priority: str
    alarms: int
    share: float


class TargetShown(BaseModel):
    """A published target, with its source, beside what was found."""

    what: str
    found: float
    target: float
    met: bool
    source: str


class FiguresShown(BaseModel):
    """The alarms of a span in numbers."""

    model_config = ConfigDict(populate_by_name=True)

    from_: str = Field(alias="from")
    to: str
    alarms: int
    per_hour: float
    worst_hour: CrowdShown
    worst_ten_minutes: CrowdShown
    floods: list[FloodShown]
    chattering: list[RecurrenceShown]
    stale: list[str]
    answers: AnswersShown
    priorities: list[PriorityShare]
    most_frequent: list[RecurrenceShown]
    targets: list[TargetShown]


class AcknowledgeRequest(Body):
    """An alarm has been seen."""

    note: str = Field("", max_length=1000)


class ShelveRequest(Body):
    """An alarm is put aside for a time; screens ask for a reason, older callers give none."""

    minutes: float = Field(gt=0, le=24 * 60)
    reason: str = Field("", max_length=200)


class AlarmShown(BaseModel):
    """An alarm as it stands; in a lot it is a deviation."""

    id: str
    lot: str | None
    bench: str | None
    rule: str
    priority: Priority
    phase: str | None
    pitcher: int | None
    vessel: int | None
    subject: str | None
    limit: Bounds
    measured: float | None
    unit: Unit
    message: str
    advice: str
    raised_at: str
    cleared_at: str | None
    outcome: str | None
    acknowledged_at: str | None
    note: str | None
    latched: bool
    reset_at: str | None
    shelved_until: str | None
    shelved_reason: str | None
    suppressed_by: str | None
    out_of_service: str | None
    folded_into: str | None
    state: AlarmState
