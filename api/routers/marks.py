"""Marks over HTTP: a person says that a phase begins or ends, or that she did not mean it."""

import asyncio
from functools import partial

from fastapi import APIRouter

from api import lot_shapes
from api.dependencies import Running
from api.instants import instant
from api.lot_reading import read_record
from collector.errors import NotFoundError
from collector.lot_events import PhaseMarked
from collector.lot_record import LotRecord
from collector.lots import mark_move, moved
from collector.phases import Edge, PhaseName, phase_named
from collector.withdrawals import meant, withdrawn

router = APIRouter(prefix="/api/lots/{lot}/marks", tags=["lots"])


@router.post("", status_code=201)
async def mark(workshop: Running, lot: str, wanted: lot_shapes.MarkRequest) -> lot_shapes.MarkTaken:
    """Take a person's mark: a phase of the lot begins or ends."""
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    order = record.opened.recipe.order
    phase = phase_named(wanted.phase, order)
    if phase is None:
        known = ", ".join(order)
        raise NotFoundError(f"There is no phase {wanted.phase!r}; a lot's phases are {known}.")
    moved(lot, record.state, mark_move(lot, record.opened.recipe, phase))
    make = partial(_marked, record, phase, Edge(wanted.edge))
    given = await workshop.pipeline.give(record.opened.bench, make)
    return lot_shapes.MarkTaken(at=instant(given.at_us))


@router.post("/undo")
async def undo(
    workshop: Running, lot: str, wanted: lot_shapes.UndoRequest | None = None
) -> lot_shapes.MarkUndone:
    """Take the latest mark back, as if it had never been made; 409 where it stays."""
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    at = wanted.at if wanted is not None else None
    mark = meant(record, None if at is None else lambda mark: instant(mark.at_us) == at)
    given = await workshop.pipeline.give(mark.bench, partial(withdrawn, record, mark))
    return lot_shapes.MarkUndone(
        phase=mark.phase,
        edge=mark.edge,
        at=instant(mark.at_us),
        withdrawn_at=instant(given.at_us),
    )


def _marked(record: LotRecord, phase: PhaseName, edge: Edge, at_us: int) -> PhaseMarked:
    opened = record.opened
    return PhaseMarked(
        at_us=at_us,
        bench=opened.bench,
        lot=opened.lot,
        phase=phase,
        edge=edge,
        aftercare=phase in opened.recipe.aftercare,
    )
