"""What `pourkeep replay --json` prints. Times are RFC 3339 UTC, temperatures °C, masses g."""

from typing import Any, Literal

import msgspec
from pydantic import BaseModel

from api import lot_shapes, presenting, shapes
from api.instants import instant
from api.judging import Judged
from collector.alarm_events import AlarmRaised
from collector.event_base import Event
from collector.events import encode
from collector.lot_record import PhaseRun
from collector.replay import Difference
from collector.what_if import DeviationChanged, PhaseChanged, PhaseLimit, WeighingChanged, WhatIf
from collector.what_if import met as is_met


class AlarmJudged(BaseModel):
    """A deviation under some limits."""

    at: str
    message: str
    advice: str
    limit: shapes.Bounds
    measured: float | None
    unit: str


class DeviationShown(BaseModel):
    """A deviation that differs."""

    change: Literal["new", "gone", "other"]
    rule: str
    phase: str | None
    pitcher: int | None
    vessel: int | None
    subject: str | None
    before: AlarmJudged | None
    after: AlarmJudged | None


class WeighingJudged(lot_shapes.Weighing):
    """A weighing under some limits; `met` is whether it is within its tolerance."""

    met: bool


class WeighingShown(BaseModel):
    """A weighing that differs."""

    change: Literal["new", "gone", "other"]
    before: WeighingJudged | None
    after: WeighingJudged | None


class PhaseJudged(lot_shapes.PhaseShown):
    """A phase under some limits, with what they ask of it."""

    window: lot_shapes.WindowShown | None
    at_least_seconds: int | None
    at_most_seconds: int | None


class PhaseDiffers(BaseModel):
    """A phase that differs."""

    change: Literal["new", "gone", "other"]
    before: PhaseJudged | None
    after: PhaseJudged | None


class WhatIfShown(BaseModel):
    """All that another recipe would have changed in a lot."""

    deviations: list[DeviationShown]
    weighings: list[WeighingShown]
    phases: list[PhaseDiffers]


class DifferenceShown(BaseModel):
    """The first derived event that came out otherwise, as it is kept and as it is now."""

    place: int
    kept: dict[str, Any] | None
    now: dict[str, Any] | None


class JudgedShown(BaseModel):
    """A lot judged again."""

    lot: str
    recipe: str
    identical: bool
    difference: DifferenceShown | None
    events: int
    readings: int
    lot_seconds: float
    took_seconds: float
    times_real_time: float
    what_if: WhatIfShown | None


def shown(judged: Judged) -> JudgedShown:
    """Show a lot judged again."""
    lasted_s = judged.lasted_us / presenting.US_PER_S
    return JudgedShown(
        lot=judged.lot,
        recipe=judged.recipe,
        identical=judged.difference is None,
        difference=None if judged.difference is None else _difference(judged.difference),
        events=judged.events,
        readings=judged.readings,
        lot_seconds=round(lasted_s, 3),
        took_seconds=round(judged.took_s, 3),
        times_real_time=round(judged.times * lasted_s / judged.took_s),
        what_if=None if judged.what_if is None else _what_if(judged.what_if),
    )


def _difference(found: Difference) -> DifferenceShown:
    return DifferenceShown(place=found.place, kept=_event(found.kept), now=_event(found.now))


def _event(event: Event | None) -> dict[str, Any] | None:
    if event is None:
        return None
    return msgspec.json.decode(encode(event), type=dict[str, Any])


def _what_if(what_if: WhatIf) -> WhatIfShown:
    return WhatIfShown(
        deviations=[_deviation(changed) for changed in what_if.deviations],
        weighings=[_weighing(changed) for changed in what_if.weighings],
        phases=[_phase(changed) for changed in what_if.phases],
    )


def _deviation(changed: DeviationChanged) -> DeviationShown:
    one = next(alarm for alarm in (changed.after, changed.before) if alarm is not None)
    return DeviationShown(
        change=changed.change.value,
        rule=one.rule,
        phase=one.phase,
        pitcher=one.pitcher,
        vessel=one.vessel,
        subject=one.subject,
        before=_alarm(changed.before),
        after=_alarm(changed.after),
    )


def _alarm(raised: AlarmRaised | None) -> AlarmJudged | None:
    if raised is None:
        return None
    low, high, measured = (
        None if value is None else presenting.plain(raised.unit, value)
        for value in (raised.limit.low, raised.limit.high, raised.measured)
    )
    return AlarmJudged(
        at=instant(raised.at_us),
        message=raised.message,
        advice=raised.advice,
        limit=shapes.Bounds(low=low, high=high),
        measured=measured,
        unit=raised.unit,
    )


def _weighing(changed: WeighingChanged) -> WeighingShown:
    before, after = (
        None
        if event is None
        else WeighingJudged(**presenting.weighing(event).model_dump(), met=is_met(event))
        for event in (changed.before, changed.after)
    )
    return WeighingShown(change=changed.change.value, before=before, after=after)


def _phase(changed: PhaseChanged) -> PhaseDiffers:
    return PhaseDiffers(
        change=changed.change.value,
        before=_phase_run(changed.before, changed.limit_before),
        after=_phase_run(changed.after, changed.limit_after),
    )


def _phase_run(run: PhaseRun | None, limit: PhaseLimit) -> PhaseJudged | None:
    if run is None:
        return None
    return PhaseJudged(
        **presenting.phase(run).model_dump(),
        window=presenting.window(limit.window),
        at_least_seconds=limit.at_least_s,
        at_most_seconds=limit.at_most_s,
    )
