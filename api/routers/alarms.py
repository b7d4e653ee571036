"""Alarms over HTTP."""

from typing import Literal

from fastapi import APIRouter

from api import presenting, shapes
from api.dependencies import Running
from collector.alarms import Alarm, AlarmMove, AlarmState
from collector.errors import ConflictError
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
    raised = workshop.pipeline.ledger.find(alarm).raised

    def acknowledged(at_us: int) -> AlarmAcknowledged:
        workshop.pipeline.foreseen(alarm).moved(AlarmMove.ACKNOWLEDGE)
        return AlarmAcknowledged(
            at_us=at_us, bench=raised.bench, lot=raised.lot, alarm=alarm, note=wanted.note
        )

    await workshop.pipeline.give(raised.bench, acknowledged)
    return _shown(workshop, alarm)


@router.post("/{alarm}/shelve")
async def shelve(workshop: Running, alarm: str, wanted: shapes.ShelveRequest) -> shapes.AlarmShown:
    """Put an alarm aside for some minutes; 409 where it has ended."""
    raised = workshop.pipeline.ledger.find(alarm).raised
    length_us = round(wanted.minutes * 60_000_000)

    def shelved(at_us: int) -> AlarmShelved:
        if workshop.pipeline.foreseen(alarm).state is AlarmState.ENDED:
            raise ConflictError(f"Alarm {alarm} has ended: there is nothing to put aside.")
        until_us = at_us + length_us
        return AlarmShelved(
            at_us=at_us, bench=raised.bench, lot=raised.lot, alarm=alarm, until_us=until_us
        )

    await workshop.pipeline.give(raised.bench, shelved)
    return _shown(workshop, alarm)


def _shown(workshop: Workshop, alarm: str) -> shapes.AlarmShown:
    found: Alarm = workshop.pipeline.ledger.find(alarm)
    return presenting.alarm(found, workshop.clock.now_us())
