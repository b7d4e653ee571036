"""What was measured of a lot over HTTP: its curves, its pitchers, and other lots beside it."""

import asyncio
from typing import Annotated

from fastapi import APIRouter, Query

from api import shapes
from api.beside import BesideShown, beside
from api.curves import curve
from api.dependencies import Running
from api.lot_curve import lot_end_us, lot_span
from api.lot_reading import read_record
from api.measured import measured
from api.measured_shapes import PitcherMeasured
from api.query_spans import Asked
from collector.errors import ConflictError, NotFoundError
from collector.lot_record import LotRecord
from collector.readings import Channel

router = APIRouter(prefix="/api/lots", tags=["lots"])

Points = Annotated[int, Query(ge=2, le=20_000)]


@router.get("/{lot}/curve")
async def show_curve(
    workshop: Running, lot: str, channel: str, asked: Asked, points: Points = 2000
) -> shapes.CurveShown:
    """Show a channel's curve over the lot, or a part of it, reduced so that peaks stay."""
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    found = _channel(record, channel)
    from_us, to_us = asked.within(record.opened.at_us, lot_end_us(workshop, record))
    span = await asyncio.to_thread(lot_span, workshop, record, found, from_us, to_us)
    return await asyncio.to_thread(curve, found, span, points)


@router.get("/{lot}/measured")
async def show_measured(workshop: Running, lot: str) -> list[PitcherMeasured]:
    """Show how warm each pitcher was when it mattered, and the fragrance load it came to."""
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    return await asyncio.to_thread(measured, workshop, record)


@router.get("/{lot}/beside/{other}")
async def show_beside(
    workshop: Running, lot: str, other: str, points: Points = 2000
) -> BesideShown:
    """Show another lot's first pitcher on this lot's clock, laid on the same events.

    409 where it is the same lot.
    """
    if lot == other:
        raise ConflictError(f"Lot {lot} cannot be laid beside itself. Choose another one.")
    here = await asyncio.to_thread(read_record, workshop.history, lot)
    there = await asyncio.to_thread(read_record, workshop.history, other)
    return await asyncio.to_thread(beside, workshop, here, there, points)


def _channel(record: LotRecord, channel: str) -> Channel:
    found = next((c for c in record.opened.channels if c.name == channel), None)
    if found is None:
        lot, known = record.opened.lot, ", ".join(c.name for c in record.opened.channels)
        raise NotFoundError(f"Lot {lot} has no channel {channel!r}; it has {known}.")
    return found
