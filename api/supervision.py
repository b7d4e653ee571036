"""Feeds systemd's watchdog for as long as collection and writing really get on."""

import asyncio
import contextlib
import logging
from collections.abc import AsyncIterator, Callable

from api.health import notice_of
from api.progress_watch import Collecting, stuck
from api.systemd import Notifier
from collector.collection import Collection
from collector.instrument_state import LinkState
from collector.workshop import Workshop

STATUS_S = 10.0
"""How often the status is told where no watchdog wants to be fed."""

LOOK_SHARE = 1 / 6
"""How often it is looked whether all gets on, as a share of the watchdog's period: a commit that
took long and came to its end must not cost two feeds, nor a datagram that was lost."""

_LOG = logging.getLogger(__name__)


Tell = Callable[[], str]
"""Says in a line how the service does."""


@contextlib.asynccontextmanager
async def supervised(
    collecting: Collecting, status: Tell, notifier: Notifier
) -> AsyncIterator[None]:
    """Tell systemd how the service does for the block, and that it is over."""
    telling = asyncio.create_task(keep_told(collecting, status, notifier), name="systemd")
    notifier.tell(ready="1")
    try:
        yield
    finally:
        notifier.tell(stopping="1")
        telling.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await telling


async def keep_told(collecting: Collecting, status: Tell, notifier: Notifier) -> None:
    """Tell systemd how the service does until cancelled.

    It runs in the event loop on purpose: a loop that hangs feeds nothing.
    """
    wait_s = STATUS_S if notifier.watchdog_s is None else notifier.watchdog_s * LOOK_SHARE
    said: list[str] = []
    while notifier.listens:
        hangs = stuck(collecting)
        if hangs and hangs != said:
            _LOG.critical("the watchdog is not fed: %s", " ".join(hangs))
        said = hangs
        if hangs:
            notifier.tell(status=" ".join(hangs))
        else:
            notifier.tell(watchdog="1", status=_told(status))
        await asyncio.sleep(wait_s)


def _told(status: Tell) -> str:
    """Return the status. The supervision point: a defect in a sentence ends no service."""
    try:
        return status()
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


def status_of_bench(collection: Collection) -> str:
    """Return how a bench without a screen does in a line."""
    trouble = collection.batch.trouble
    said = [sender.state.sentence for sender in collection.senders]
    return " ".join([trouble.sentence] if trouble is not None else said)
