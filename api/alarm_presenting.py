"""The alarms' log, their figures and what is out of service, in the shapes that are shown."""

from api import alarm_shapes as shapes
from api.instants import instant, instant_or_none
from collector.alarm_events import (
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmReleased,
    AlarmRestored,
    AlarmSuppressed,
)
from collector.alarm_log import AlarmFigures, Crowd, LogEntry, Recurrence
from collector.answer_events import (
    AlarmAcknowledged,
    AlarmReset,
    AlarmShelved,
    AlarmUnshelved,
    RulePutBack,
    RuleTakenOut,
)
from collector.event_base import Event

NAMES: dict[type[Event], str] = {
    AlarmRaised: "raised",
    AlarmAcknowledged: "acknowledged",
    AlarmCleared: "cleared",
    AlarmFolded: "folded",
    AlarmReset: "reset",
    AlarmShelved: "shelved",
    AlarmUnshelved: "unshelved",
    AlarmSuppressed: "suppressed",
    AlarmReleased: "released",
    AlarmRestored: "restored",
    RuleTakenOut: "taken out of service",
    RulePutBack: "put back into service",
}


def taken_out(event: RuleTakenOut) -> shapes.OutOfServiceShown:
    """Show a rule that is out of service."""
    return shapes.OutOfServiceShown(
        bench=event.bench or "",
        rule=event.rule,
        subject=event.subject,
        reason=event.reason,
        since=instant(event.at_us),
    )


def entry(logged: LogEntry) -> shapes.LogEntryShown:
    """Show an event of the log."""
    event = logged.event
    if isinstance(event, RuleTakenOut | RulePutBack):
        return _entry(event, event.rule, event.subject)
    alarm = logged.alarms[0]
    shown = _entry(event, alarm.raised.rule, alarm.raised.subject)
    shown.alarm = alarm.raised.alarm
    shown.priority = alarm.raised.priority
    shown.state = alarm.shown(event.at_us).value
    return shown


def _entry(event: Event, rule: str, subject: str | None) -> shapes.LogEntryShown:
    return shapes.LogEntryShown(
        at=instant(event.at_us),
        event=NAMES[type(event)],
        alarm=None,
        bench=event.bench,
        lot=event.lot,
        rule=rule,
        subject=subject,
        priority=None,
        state=None,
        text=_text(event),
        until=instant(event.until_us) if isinstance(event, AlarmShelved) else None,
    )


def _text(event: Event) -> str:
    text = ""
    match event:
        case AlarmRaised():
            text = event.message
        case AlarmAcknowledged():
            text = event.note
        case AlarmCleared():
            text = event.outcome
        case AlarmShelved():
            text = event.reason
        case AlarmFolded():
            text = f"part of {event.into}"
        case AlarmSuppressed():
            text = f"by {event.by}"
        case RuleTakenOut():
            text = event.reason
    return text


def figures(found: AlarmFigures) -> shapes.FiguresShown:
    """Show the figures of a span."""
    return shapes.FiguresShown(
        from_=instant(found.from_us),
        to=instant(found.to_us),
        alarms=found.alarms,
        per_hour=found.per_hour_milli / 1000,
        worst_hour=_crowd(found.worst_hour),
        worst_ten_minutes=_crowd(found.worst_ten_minutes),
        floods=[
            shapes.FloodShown(from_=instant(f.from_us), to=instant_or_none(f.to_us), peak=f.peak)
            for f in found.floods
        ],
        chattering=[_recurrence(one) for one in found.chattering],
        stale=list(found.stale),
        answers=shapes.AnswersShown(
            acknowledged=found.acknowledged,
            never=found.never_acknowledged,
            median_seconds=_seconds(found.acknowledged_median_us),
            p95_seconds=_seconds(found.acknowledged_p95_us),
        ),
        priorities=[
            shapes.PriorityShare(
                priority=priority, alarms=alarms, share=round(alarms / max(1, found.alarms), 4)
            )
            for priority, alarms in found.by_priority
        ],
        most_frequent=[_recurrence(one) for one in found.most_frequent],
        targets=[
            shapes.TargetShown(
                what=target.what,
                found=target.found_milli / 1000,
                target=target.target_milli / 1000,
                met=target.met,
                source=target.source,
            )
            for target in found.targets
        ],
    )


def _crowd(found: Crowd) -> shapes.CrowdShown:
    return shapes.CrowdShown(alarms=found.alarms, from_=instant_or_none(found.from_us))


def _recurrence(found: Recurrence) -> shapes.RecurrenceShown:
    return shapes.RecurrenceShown(
        bench=found.bench, rule=found.rule, subject=found.subject, alarms=found.alarms
    )


def _seconds(us: int | None) -> float | None:
    return None if us is None else us / 1_000_000
