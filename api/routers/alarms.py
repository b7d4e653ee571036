"""Alarms over HTTP: the list, and what a person does with one."""

from typing import Literal

from fastapi import APIRouter

from api import alarm_shapes, presenting
from api.dependencies import Running
from collector.alarms import AlarmMove, Shown
from collector.answer_events import AlarmAcknowledged, AlarmReset, AlarmShelved, AlarmUnshelved
from collector.workshop import Workshop

router = APIRouter(prefix="/api/alarms", tags=["alarms"])

State = Literal[
    "active",
    "acknowledged",
    "cleared",
    "latched",
    "shelved",
    "suppressed",
    "out of service",
    "ended",
    "all",
]


@router.get("")
async def list_alarms(
    workshop: Running, state: State | None = None
) -> list[alarm_shapes.AlarmShown]:
    """List alarms, what wants an answer first; without a state, all that have not ended."""
    now_us = workshop.clock.now_us()
    standing = [a for a in workshop.pipeline.ledger.alarms.values() if a.folded_into is None]
    if state is None:
        standing = [alarm for alarm in standing if alarm.shown(now_us) is not Shown.ENDED]
    elif state != "all":
        standing = [alarm for alarm in standing if alarm.shown(now_us).value == state]
    standing.sort(key=lambda alarm: alarm.attention(now_us))
    return [presenting.alarm(alarm, now_us) for alarm in standing]


@router.post("/{alarm}/acknowledge")
async def acknowledge(
    workshop: Running, alarm: str, wanted: alarm_shapes.AcknowledgeRequest
) -> alarm_shapes.AlarmShown:
    """Take note that a person has seen an alarm; 409 where somebody has already."""
    raised = workshop.pipeline.ledger.find(alarm).raised

    def acknowledged(at_us: int) -> AlarmAcknowledged:
        workshop.pipeline.foreseen(alarm).moved(AlarmMove.ACKNOWLEDGE)
        return AlarmAcknowledged(
            at_us=at_us, bench=raised.bench, lot=raised.lot, alarm=alarm, note=wanted.note
        )

    await workshop.pipeline.give(raised.bench, acknowledged)
    return _shown(workshop, alarm)


@router.post("/{alarm}/shelve")
async def shelve(
    workshop: Running, alarm: str, wanted: alarm_shapes.ShelveRequest
) -> alarm_shapes.AlarmShown:
    """Put an alarm aside for some minutes, or for others than before; 409 where it has ended.

    If it comes again in that time, it is shelved as well.
    """
    raised = workshop.pipeline.ledger.find(alarm).raised
    length_us = round(wanted.minutes * 60_000_000)

    def shelved(at_us: int) -> AlarmShelved:
        workshop.pipeline.foreseen(alarm).moved(AlarmMove.SHELVE)
        return AlarmShelved(
            at_us=at_us,
            bench=raised.bench,
            lot=raised.lot,
            alarm=alarm,
            until_us=at_us + length_us,
            reason=wanted.reason,
        )

    await workshop.pipeline.give(raised.bench, shelved)
    return _shown(workshop, alarm)


@router.post("/{alarm}/unshelve")
async def unshelve(workshop: Running, alarm: str) -> alarm_shapes.AlarmShown:
    """Take a shelved alarm up again before its time; 409 where it is not shelved."""
    raised = workshop.pipeline.ledger.find(alarm).raised

    def unshelved(at_us: int) -> AlarmUnshelved:
        workshop.pipeline.foreseen(alarm).check_shelved(at_us)
        return AlarmUnshelved(at_us=at_us, bench=raised.bench, lot=raised.lot, alarm=alarm)

    await workshop.pipeline.give(raised.bench, unshelved)
    return _shown(workshop, alarm)


@router.post("/{alarm}/reset")
async def reset(workshop: Running, alarm: str) -> alarm_shapes.AlarmShown:
    """Let go of a latched alarm; 409 until its limit holds again and a person has seen it."""
    raised = workshop.pipeline.ledger.find(alarm).raised

    def let_go(at_us: int) -> AlarmReset:
        workshop.pipeline.foreseen(alarm).moved(AlarmMove.RESET)
        return AlarmReset(at_us=at_us, bench=raised.bench, lot=raised.lot, alarm=alarm)

    await workshop.pipeline.give(raised.bench, let_go)
    return _shown(workshop, alarm)


def _shown(workshop: Workshop, alarm: str) -> alarm_shapes.AlarmShown:
    found = workshop.pipeline.ledger.find(alarm)
    return presenting.alarm(found, workshop.clock.now_us())
