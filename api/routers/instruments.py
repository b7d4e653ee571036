"""Instruments over HTTP."""

import asyncio
from decimal import Decimal

from fastapi import APIRouter

from api import instrument_shapes
from api.dependencies import Running
from api.instants import instant
from api.instrument_reading import instrument, instrument_in_full, resolution, state_of
from collector.config import Manual
from collector.errors import ConflictError, DocumentError
from collector.readings import ROLE_QUANTITY, Sample
from collector.units import UNIT_OF, UnitError, from_fixed, to_fixed

router = APIRouter(prefix="/api/instruments", tags=["instruments"])


@router.get("")
async def list_instruments(workshop: Running) -> list[instrument_shapes.InstrumentShown]:
    """List the instruments, each with its state, its last reading and why it is silent."""
    now_us = workshop.clock.now_us()
    return [
        instrument(workshop, state.at(now_us)) for state in workshop.pipeline.instruments.values()
    ]


@router.get("/{name}")
async def show_instrument(workshop: Running, name: str) -> instrument_shapes.InstrumentInFull:
    """Show one instrument: how it is reached, how it does, and every calibration of it."""
    state = state_of(workshop, name)
    finest = await asyncio.to_thread(resolution, workshop, state)
    return instrument_in_full(workshop, state, finest)


@router.post("/{name}/readings", status_code=201)
async def enter_reading(
    workshop: Running, name: str, wanted: instrument_shapes.ReadingRequest
) -> instrument_shapes.ReadingTaken:
    """Take a reading that a person typed in, for an instrument of kind manual."""
    state = state_of(workshop, name)
    if not isinstance(state.instrument.link, Manual):
        raise ConflictError(f"{name} reads by itself; only kind 'manual' is typed in.")
    quantity = ROLE_QUANTITY[state.instrument.role]
    try:
        value = to_fixed(Decimal(repr(wanted.value)), wanted.unit, quantity)
    except UnitError as error:
        raise DocumentError("reading", ["unit"], str(error)) from error
    reading = workshop.pipeline.enter(name, Sample(quantity, value))
    return instrument_shapes.ReadingTaken(
        taken_at=instant(reading.taken_us),
        value=from_fixed(reading.value, quantity),
        unit=UNIT_OF[quantity],
    )
