"""Alarms over HTTP."""

from typing import Literal

from fastapi import APIRouter

from api import presenting, shapes
from api.dependencies import Running
from collector.alarms import Alarm, AlarmMove
from collector.events import AlarmAcknowledged, AlarmShelved
from collector.workshop import Workshop

router = APIRouter(prefix="/api/alarms", tags=["alarms"])

State = Literal["active", "acknowledged", "cleared", "shelved", "ended", "all"]


@router.get("")
async def list_alarms(workshop: Running, state: State | None = None) -> list[shapes.AlarmShown]:
    """List alarms, the newest first; without a state, all that have not ended."""
    now_us = workshop.clock.now_us()
    standing = [a for a in workshop.pipeline.ledger.alarms.values() if a.folded_into is None]
    shown = [presenting.alarm(alarm, now_us) for alarm in reversed(standing)]
    if state == "all":
        return shown
    if state is None:
        return [alarm for alarm in shown if alarm.state != "ended"]
    return [alarm for alarm in shown if alarm.state == state]


@router.post("/{alarm}/acknowledge")
async def acknowledge(
    workshop: Running, alarm: str, wanted: shapes.AcknowledgeRequest
) -> shapes.AlarmShown:
    """Take note that a person has seen an alarm; 409 where somebody has already."""
    found = workshop.pipeline.ledger.find(alarm)
    found.moved(AlarmMove.ACKNOWLEDGE)
    raised = found.raised
    await workshop.pipeline.give(
        raised.bench,
        lambda at_us: AlarmAcknowledged(
            at_us=at_us, bench=raised.bench, lot=raised.lot, alarm=alarm, note=wanted.note
        ),
    )
    return _shown(workshop, alarm)


@router.post("/{alarm}/shelve")
async def shelve(workshop: Running, alarm: str, wanted: shapes.ShelveRequest) -> shapes.AlarmShown:
    """Put an alarm aside for some minutes."""
    raised = workshop.pipeline.ledger.find(alarm).raised
    length_us = round(wanted.minutes * 60_000_000)
    await workshop.pipeline.give(
        raised.bench,
        lambda at_us: AlarmShelved(
            at_us=at_us,
            bench=raised.bench,
            lot=raised.lot,
            alarm=alarm,
            until_us=at_us + length_us,
        ),
    )
    return _shown(workshop, alarm)


def _shown(workshop: Workshop, alarm: str) -> shapes.AlarmShown:
    found: Alarm = workshop.pipeline.ledger.find(alarm)
    return presenting.alarm(found, workshop.clock.now_us())
