"""Pour days over HTTP: several lots out of one pot."""

import asyncio
from functools import partial
from itertools import count

from fastapi import APIRouter

from api import pour_day_reading, shapes
from api.dependencies import Running
from api.instants import local_date
from collector.batch_sheet import batch_sheet
from collector.errors import DocumentError
from collector.events import PlannedLot, PourDayPlanned
from collector.store.history import History
from collector.units import Dimension, UnitError, parse
from collector.workshop import Workshop

router = APIRouter(prefix="/api/pour-days", tags=["pour days"])


@router.post("", status_code=201)
async def plan_day(workshop: Running, wanted: shapes.PourDayRequest) -> shapes.PourDayId:
    """Plan several lots out of one pot, in this order."""
    melted_mg = None if wanted.melted is None else _mass_mg("melted", wanted.melted)
    residue_mg = _mass_mg("residue", wanted.residue)
    lots = await asyncio.to_thread(_planned_lots, workshop.history, wanted)
    async with workshop.opening:
        day = await asyncio.to_thread(_next_id, workshop)
        make = partial(_day_planned, day, lots, melted_mg, residue_mg)
        await workshop.pipeline.give(None, make)
    return shapes.PourDayId(id=day)


@router.get("")
async def list_days(workshop: Running) -> list[shapes.PourDayShown]:
    """List all pour days with their sheets, the newest first."""
    return await asyncio.to_thread(_all_days, workshop)


@router.get("/{day}")
async def show_day(workshop: Running, day: str) -> shapes.PourDayShown:
    """Show a pour day: the pot, each lot and pitcher, and whether the wax suffices."""
    sheet = await asyncio.to_thread(pour_day_reading.read_sheet, workshop.history, day)
    return pour_day_reading.day(sheet, workshop.config.display)


def _all_days(workshop: Workshop) -> list[shapes.PourDayShown]:
    days = pour_day_reading.planned_days(workshop.history)
    sheets = (pour_day_reading.read_sheet(workshop.history, day) for day in days)
    return [pour_day_reading.day(sheet, workshop.config.display) for sheet in sheets]


def _planned_lots(history: History, wanted: shapes.PourDayRequest) -> tuple[PlannedLot, ...]:
    """Return the lots with their recipes. Raises NotFoundError for one that is not there."""
    lots = tuple(PlannedLot(history.recipe(lot.recipe).recipe, lot.vessels) for lot in wanted.lots)
    for lot in lots:
        batch_sheet(lot.recipe, lot.vessels)
    return lots


def _mass_mg(name: str, text: str) -> int:
    try:
        return parse(text, Dimension.MASS)
    except UnitError as error:
        raise DocumentError("pour day", [name], str(error)) from error


def _next_id(workshop: Workshop) -> str:
    """Return the next day's id: the workshop's date and a number."""
    today = local_date(workshop.clock.now_us(), workshop.config.timezone)
    taken = pour_day_reading.planned_days(workshop.history)
    return next(day for n in count(1) if (day := f"day-{today}-{n}") not in taken)


def _day_planned(
    day: str, lots: tuple[PlannedLot, ...], melted_mg: int | None, residue_mg: int, at_us: int
) -> PourDayPlanned:
    return PourDayPlanned(
        at_us=at_us,
        bench=None,
        lot=None,
        day=day,
        lots=lots,
        melted_mg=melted_mg,
        residue_mg=residue_mg,
    )
