"""Feeds systemd's watchdog for as long as collection and writing really get on."""

import asyncio
import logging

from api.health import notice_of
from api.progress_watch import stuck
from api.systemd import Notifier
from collector.instrument_state import LinkState
from collector.workshop import Workshop

STATUS_S = 10.0
"""How often the status is told where no watchdog wants to be fed."""

_LOG = logging.getLogger(__name__)


async def keep_told(workshop: Workshop, notifier: Notifier) -> None:
    """Tell systemd how the service does until cancelled.

    It runs in the event loop on purpose: a loop that hangs feeds nothing.
    """
    wait_s = STATUS_S if notifier.watchdog_s is None else notifier.watchdog_s / 2
    said: list[str] = []
    while notifier.listens:
        hangs = stuck(workshop)
        if hangs and hangs != said:
            _LOG.critical("the watchdog is not fed: %s", " ".join(hangs))
        said = hangs
        if hangs:
            notifier.tell(status=" ".join(hangs))
        else:
            notifier.tell(watchdog="1", status=_status(workshop))
        await asyncio.sleep(wait_s)


def _status(workshop: Workshop) -> str:
    """Return the status. The supervision point: a defect in a sentence ends no service."""
    try:
        return status_of(workshop)
    except Exception:  # noqa: BLE001 - the supervision point
        _LOG.exception("the status cannot be told")
        return "Collecting; the status cannot be told, see the log."


def status_of(workshop: Workshop) -> str:
    """Return how the service does in a line, as `systemctl status` shows it."""
    pipeline = workshop.pipeline
    states = [state.at(workshop.clock.now_us()).state for state in pipeline.instruments.values()]
    reading = sum(state is LinkState.READING for state in states)
    lots = [bench.lot for bench in pipeline.benches.values() if bench.lot is not None]
    doing = f"{reading} of {len(states)} instruments give readings; "
    doing += f"open: {', '.join(lots)}." if lots else "no lot is open."
    return " ".join(filter(None, [pipeline.trouble or notice_of(workshop), doing]))
