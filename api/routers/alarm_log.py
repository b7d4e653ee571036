"""The log of alarms and its figures over HTTP."""

import asyncio

from fastapi import APIRouter
from pydantic import AwareDatetime

from api import alarm_presenting as presenting
from api import alarm_shapes as shapes
from api.dependencies import Running
from api.instants import microseconds
from api.query_spans import From, To, check_order
from collector.alarm_ledger import LEDGER_EVENTS
from collector.alarm_log import DAY_US, figures_of, log_of
from collector.event_base import Event
from collector.store.history import History
from collector.workshop import Workshop

router = APIRouter(prefix="/api/alarms", tags=["alarms"])


@router.get("/log")
async def show_log(
    workshop: Running, from_: From = None, to: To = None
) -> list[shapes.LogEntryShown]:
    """List what became of alarms, in order, `to` not included; the last day unless said."""
    from_us, to_us = _span(workshop, from_, to)
    return await asyncio.to_thread(_log, workshop.history, from_us, to_us)


@router.get("/figures")
async def show_figures(workshop: Running, from_: From = None, to: To = None) -> shapes.FiguresShown:
    """Show how many alarms there were and how they were answered; the last day unless said."""
    from_us, to_us = _span(workshop, from_, to)
    return await asyncio.to_thread(_figures, workshop.history, from_us, to_us)


def _span(
    workshop: Workshop, from_: AwareDatetime | None, to: AwareDatetime | None
) -> tuple[int, int]:
    # A bench may be microseconds ahead of the clock: no two of its inputs share one.
    now_us = max(
        [workshop.clock.now_us(), *(bench.now_us for bench in workshop.pipeline.benches.values())]
    )
    to_us = microseconds(to) if to is not None else now_us + 1
    from_us = microseconds(from_) if from_ is not None else max(0, to_us - DAY_US)
    check_order(from_us, to_us)
    return from_us, to_us


def _log(history: History, from_us: int, to_us: int) -> list[shapes.LogEntryShown]:
    return [presenting.entry(entry) for entry in log_of(_events(history), from_us, to_us)]


def _figures(history: History, from_us: int, to_us: int) -> shapes.FiguresShown:
    return presenting.figures(figures_of(_events(history), from_us, to_us))


def _events(history: History) -> list[Event]:
    return [stored.event for stored in history.events_of(LEDGER_EVENTS)]
