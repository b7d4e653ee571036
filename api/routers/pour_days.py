"""Pour days over HTTP: several lots out of one pot."""

import asyncio
from functools import partial
from itertools import count
from typing import NamedTuple

from fastapi import APIRouter

from api import pour_day_reading, pour_day_shapes
from api.dependencies import Running
from api.instants import local_date
from collector.errors import DocumentError
from collector.lot_events import PlannedLot, PotTold, PourDayPlanned
from collector.pour_day import DaySheet, pot_for
from collector.store.history import History
from collector.units import Dimension, UnitError, parse
from collector.workshop import Workshop

router = APIRouter(prefix="/api/pour-days", tags=["pour days"])


@router.post("", status_code=201)
async def plan_day(
    workshop: Running, wanted: pour_day_shapes.PourDayRequest
) -> pour_day_shapes.PourDayId:
    """Plan several lots out of one pot, in this order."""
    plan = await asyncio.to_thread(_plan, workshop.history, wanted)
    async with workshop.opening:
        day = await asyncio.to_thread(_next_id, workshop)
        await workshop.pipeline.give(None, partial(_day_planned, day, plan))
    return pour_day_shapes.PourDayId(id=day)


@router.post("/preview")
async def preview_day(
    workshop: Running, wanted: pour_day_shapes.PreviewRequest
) -> pour_day_shapes.PourDayShown:
    """Work out a plan without keeping it."""
    plan = await asyncio.to_thread(_plan, workshop.history, wanted)
    planned = _day_planned(wanted.day or "", plan, workshop.clock.now_us())
    return await asyncio.to_thread(_shown, workshop, planned)


@router.put("/{day}")
async def plan_day_again(
    workshop: Running, day: str, wanted: pour_day_shapes.PourDayRequest
) -> pour_day_shapes.PourDayId:
    """Plan a day anew: more was melted, or a lot came or went. Its opened lots stay opened."""
    plan = await asyncio.to_thread(_plan, workshop.history, wanted)
    await asyncio.to_thread(pour_day_reading.read_day, workshop.history, day)
    async with workshop.opening:
        await workshop.pipeline.give(None, partial(_day_planned, day, plan))
        await _tell_open_lots(workshop, day)
    return pour_day_shapes.PourDayId(id=day)


@router.get("")
async def list_days(workshop: Running) -> list[pour_day_shapes.PourDayShown]:
    """List all pour days with their sheets, the newest first."""
    return await asyncio.to_thread(_all_days, workshop)


@router.get("/{day}")
async def show_day(workshop: Running, day: str) -> pour_day_shapes.PourDayShown:
    """Show a pour day: the pot, each lot and pitcher, and whether the wax suffices."""
    planned = await asyncio.to_thread(pour_day_reading.read_day, workshop.history, day)
    return await asyncio.to_thread(_shown, workshop, planned)


def _all_days(workshop: Workshop) -> list[pour_day_shapes.PourDayShown]:
    days = pour_day_reading.planned_days(workshop.history)
    return [_shown(workshop, planned) for planned in days.values()]


def _shown(workshop: Workshop, planned: PourDayPlanned) -> pour_day_shapes.PourDayShown:
    return pour_day_reading.show(workshop.history, planned, workshop.config.display)


async def _tell_open_lots(workshop: Workshop, day: str) -> None:
    """Tell the day's open lots what the pot holds by the new plan."""
    sheet = await asyncio.to_thread(pour_day_reading.read_sheet, workshop.history, day)
    for bench in workshop.pipeline.benches.values():
        lot = bench.lot
        if lot is not None and any(lot == other.lot for other in sheet.lots):
            await workshop.pipeline.give(bench.name, partial(_pot_told, bench.name, lot, sheet))


class Plan(NamedTuple):
    """A day as it was asked for, its recipes found and its masses read; 0.001 g."""

    lots: tuple[PlannedLot, ...]
    melted_mg: int | None
    residue_mg: int


def _plan(history: History, wanted: pour_day_shapes.PourDayRequest) -> Plan:
    """Read a plan. Raises DocumentError, and NotFoundError for a recipe that is not there."""
    melted_mg = None if wanted.melted is None else _mass_mg("melted", wanted.melted)
    residue_mg = _mass_mg("residue", wanted.residue)
    if melted_mg is not None and residue_mg >= melted_mg:
        problem = f"{wanted.residue} stay in the pot, and only {wanted.melted} were melted"
        raise DocumentError("pour day", ["residue"], f"{problem}: nothing is left to draw")
    lots = tuple(PlannedLot(history.recipe(lot.recipe).recipe, lot.vessels) for lot in wanted.lots)
    return Plan(lots, melted_mg, residue_mg)


PLACES = {"melted": "wax melted in the pot", "residue": "what stays in the pot"}
"""What a person calls the masses of a plan."""


def _mass_mg(name: str, text: str) -> int:
    try:
        return parse(text, Dimension.MASS)
    except UnitError as error:
        raise DocumentError("pour day", [name], str(error), place=PLACES[name]) from error


def _next_id(workshop: Workshop) -> str:
    """Return the next day's id: the workshop's date and a number."""
    today = local_date(workshop.clock.now_us(), workshop.config.timezone)
    taken = pour_day_reading.planned_days(workshop.history)
    return next(day for n in count(1) if (day := f"day-{today}-{n}") not in taken)


def _pot_told(bench: str, lot: str, sheet: DaySheet, at_us: int) -> PotTold:
    return PotTold(at_us=at_us, bench=bench, lot=lot, pot=pot_for(sheet, lot))


def _day_planned(day: str, plan: Plan, at_us: int) -> PourDayPlanned:
    return PourDayPlanned(
        at_us=at_us,
        bench=None,
        lot=None,
        day=day,
        lots=plan.lots,
        melted_mg=plan.melted_mg,
        residue_mg=plan.residue_mg,
    )
