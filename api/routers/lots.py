"""Lots over HTTP."""

import asyncio
from itertools import count

import msgspec
from fastapi import APIRouter

from api import lot_shapes, presenting, sheet_shapes
from api.bands import BandShown, band_on
from api.dependencies import Running, check_bench
from api.instants import instant, local_date
from api.lot_reading import entries, read_document, read_record
from api.pour_day_reading import check_on_day, pot, pot_at_opening, read_sheet
from collector.bands import LEAST_LOTS
from collector.batch_sheet import batch_sheet
from collector.errors import NotFoundError
from collector.good_lots import band_for, band_of_lot
from collector.guidance import next_task
from collector.lot_events import LotClosed, LotJudged, LotKept, LotOpened, LotReleased
from collector.lot_record import LotRecord
from collector.lots import LotMove, moved
from collector.pipeline import channels_at
from collector.recipes import Recipe
from collector.workshop import Workshop

router = APIRouter(prefix="/api/lots", tags=["lots"])


@router.post("", status_code=201)
async def open_lot(workshop: Running, wanted: lot_shapes.LotRequest) -> lot_shapes.LotId:
    """Open a lot at a bench; 409 with the open lot where the bench is busy."""
    check_bench(workshop, wanted.bench)
    stored = await asyncio.to_thread(workshop.history.recipe, wanted.recipe)
    batch_sheet(stored.recipe, wanted.vessels)
    async with workshop.opening:
        if wanted.pour_day is not None:
            day, name = wanted.pour_day, stored.recipe.name
            await asyncio.to_thread(check_on_day, workshop.history, day, name)
        lot = await asyncio.to_thread(_next_id, workshop)
        band = await asyncio.to_thread(band_for, workshop.history, stored.name)

        opening = _opened(workshop, stored.recipe, wanted, lot, workshop.clock.now_us())
        in_pot = await asyncio.to_thread(pot_at_opening, workshop.history, opening)

        def opened(at_us: int) -> LotOpened:
            opening = _opened(workshop, stored.recipe, wanted, lot, at_us)
            return msgspec.structs.replace(opening, band=band, pot=in_pot)

        await workshop.pipeline.give(wanted.bench, opened)
    return lot_shapes.LotId(id=lot)


@router.get("")
async def list_lots(workshop: Running) -> list[lot_shapes.LotEntry]:
    """List all lots, the newest first."""
    return await asyncio.to_thread(entries, workshop.history)


@router.get("/{lot}")
async def show_lot(workshop: Running, lot: str) -> lot_shapes.LotShown:
    """Show everything about a lot."""
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    document = await asyncio.to_thread(read_document, workshop.history, record.opened.recipe)
    bench = workshop.pipeline.benches.get(record.opened.bench or "")
    run = bench.run if bench is not None and bench.lot == lot else None
    task = next_task(run, bench.now_us) if run is not None and bench is not None else None
    in_pot = await asyncio.to_thread(_pot, workshop, record)
    return presenting.lot(record, document, task, workshop.clock.now_us(), in_pot)


@router.post("/{lot}/close")
async def close_lot(workshop: Running, lot: str) -> lot_shapes.LotClosedShown:
    """Close a lot at the bench; what is missing becomes a deviation."""
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    moved(lot, record.state, LotMove.CLOSE)
    bench = record.opened.bench
    await workshop.pipeline.give(bench, lambda at_us: LotClosed(at_us=at_us, bench=bench, lot=lot))
    return lot_shapes.LotClosedShown(id=lot)


@router.post("/{lot}/verdict")
async def judge_lot(
    workshop: Running, lot: str, wanted: lot_shapes.VerdictRequest
) -> lot_shapes.Verdict:
    """Take the maker's word on how a closed lot came out; the last one counts."""
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    moved(lot, record.state, LotMove.JUDGE)
    bench = record.opened.bench

    def judged(at_us: int) -> LotJudged:
        return LotJudged(at_us=at_us, bench=bench, lot=lot, good=wanted.good, note=wanted.note)

    given = await workshop.pipeline.give(bench, judged)
    return lot_shapes.Verdict(good=wanted.good, note=wanted.note, at=instant(given.at_us))


@router.post("/{lot}/keep")
async def keep_lot(
    workshop: Running, lot: str, wanted: lot_shapes.KeepRequest | None = None
) -> lot_shapes.Kept:
    """Keep a lot's readings for good, however old they become and however full the disk is."""
    return await _kept(workshop, lot, LotMove.KEEP, wanted)


@router.post("/{lot}/release")
async def release_lot(
    workshop: Running, lot: str, wanted: lot_shapes.KeepRequest | None = None
) -> lot_shapes.Kept:
    """Let a lot's readings go as those of other lots do, once they are old."""
    return await _kept(workshop, lot, LotMove.RELEASE, wanted)


async def _kept(
    workshop: Workshop, lot: str, move: LotMove, wanted: lot_shapes.KeepRequest | None
) -> lot_shapes.Kept:
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    moved(lot, record.state, move)
    bench, note = record.opened.bench, wanted.note if wanted is not None else ""
    kind = LotKept if move is LotMove.KEEP else LotReleased
    given = await workshop.pipeline.give(
        bench, lambda at_us: kind(at_us=at_us, bench=bench, lot=lot, note=note)
    )
    return lot_shapes.Kept(id=lot, kept=kind is LotKept, note=note, at=instant(given.at_us))


@router.get("/{lot}/band")
async def show_band(workshop: Running, lot: str) -> BandShown:
    """Show where good lots of this recipe were, on this lot's own clock; 404 without a band."""
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    band = await asyncio.to_thread(band_of_lot, workshop.history, record)
    if band is None:
        name = record.opened.recipe.name
        raise NotFoundError(
            f"Lot {lot} has no band of good lots: it takes {LEAST_LOTS} lots of {name!r} that"
            " were closed and then judged good."
        )
    return band_on(band, record)


def _pot(workshop: Workshop, record: LotRecord) -> sheet_shapes.PotShown | None:
    """Return the pot of the lot's pour day, None where it is on none."""
    if record.opened.pour_day is None:
        return None
    sheet = read_sheet(workshop.history, record.opened.pour_day)
    return pot(sheet, workshop.config.display)


def _next_id(workshop: Workshop) -> str:
    """Return the next lot's id: the workshop's date and a number of that day."""
    today = local_date(workshop.clock.now_us(), workshop.config.timezone)
    serials = workshop.history.lot_serials(f"{today}-")
    taken = {bench.lot for bench in workshop.pipeline.benches.values()}  # maybe not on disk yet
    numbers = count(max(serials, default=0) + 1)
    return next(lot for n in numbers if (lot := f"{today}-{n}") not in taken)


def _opened(
    workshop: Workshop, recipe: Recipe, wanted: lot_shapes.LotRequest, lot: str, at_us: int
) -> LotOpened:
    return LotOpened(
        at_us=at_us,
        bench=wanted.bench,
        lot=lot,
        recipe=recipe,
        vessels=wanted.vessels,
        channels=channels_at(workshop.config, wanted.bench),
        display=workshop.config.display,
        pour_day=wanted.pour_day,
        unattended=workshop.config.unattended,
        out_of_service=workshop.pipeline.benches[wanted.bench].out_of_service,
    )
