"""Instruments over HTTP."""

from decimal import Decimal

from fastapi import APIRouter

from api import instrument_shapes, presenting
from api.dependencies import Running
from api.instants import instant
from collector.config import Manual
from collector.errors import ConflictError, DocumentError, NotFoundError
from collector.readings import ROLE_QUANTITY, Sample
from collector.units import UnitError, to_fixed

router = APIRouter(prefix="/api/instruments", tags=["instruments"])


@router.get("")
async def list_instruments(workshop: Running) -> list[instrument_shapes.InstrumentShown]:
    """List the instruments, each with its state, its last reading and why it is silent."""
    now_us = workshop.clock.now_us()
    return [
        presenting.instrument(state.at(now_us), workshop.rejected(name))
        for name, state in workshop.pipeline.instruments.items()
    ]


@router.post("/{name}/readings", status_code=201)
async def enter_reading(
    workshop: Running, name: str, wanted: instrument_shapes.ReadingRequest
) -> instrument_shapes.ReadingTaken:
    """Take a reading that a person typed in, for an instrument of kind manual."""
    state = workshop.pipeline.instruments.get(name)
    if state is None:
        known = ", ".join(workshop.pipeline.instruments)
        raise NotFoundError(f"There is no instrument {name!r}; this workshop has {known}.")
    if not isinstance(state.instrument.link, Manual):
        raise ConflictError(f"{name} reads by itself; only kind 'manual' is typed in.")
    quantity = ROLE_QUANTITY[state.instrument.role]
    try:
        value = to_fixed(Decimal(repr(wanted.value)), wanted.unit, quantity)
    except UnitError as error:
        raise DocumentError("reading", ["unit"], str(error)) from error
    reading = workshop.pipeline.enter(name, Sample(quantity, value))
    return instrument_shapes.ReadingTaken(taken_at=instant(reading.taken_us))
