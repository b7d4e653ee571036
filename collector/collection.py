"""A bench without a screen: its instruments are read, kept on disk and forwarded to the hub."""

import asyncio
import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress

from collector.batch import Batch, seen_through
from collector.clock import Clock
from collector.companions import Companions
from collector.config import Config
from collector.events import InstrumentFound, InstrumentLost
from collector.inbox import Inbox
from collector.instrument_state import InstrumentState
from collector.link.assembly import forwarders_for, targets_of
from collector.pipeline import COMMIT_S, TIME_STEP_US
from collector.readers.assembly import readers_for
from collector.readers.link import LinkFailed, LinkOpened, Sampled
from collector.readings import Reading
from collector.store.history import History
from collector.store.store import Store

_LOG = logging.getLogger(__name__)


@asynccontextmanager
async def collecting(config: Config, clock: Clock) -> AsyncIterator[asyncio.Future[None]]:
    """Collect and forward for the block.

    What it gives ends before the block does only where a defect ends it; leaving the block
    raises that. Raises StoreError where the data folder cannot be used.
    """
    store = Store.open(config.data, targets_of(config))
    try:
        collection = Collection(config, store, clock)
        running = asyncio.create_task(collection.run(), name="collection")
        readers = readers_for(config.instruments, clock)
        for reader in readers:
            reader.start(collection.inbox.put)
        companions = Companions(
            forwarders_for(
                config,
                store,
                clock,
                lambda: collection.batch.stored,
                lambda: collection.instruments,
            )
        )
        companions.start()
        try:
            yield running
        finally:
            await companions.stop()
            await asyncio.gather(*(asyncio.to_thread(reader.stop) for reader in readers))
            running.cancel()
            with suppress(asyncio.CancelledError):
                await running
    finally:
        await asyncio.to_thread(store.close)


class Collection:
    """Readers to pending batch to store, and nothing else."""

    def __init__(self, config: Config, store: Store, clock: Clock) -> None:
        self.inbox = Inbox(asyncio.get_running_loop())
        self.batch = Batch(store, lambda _numbers, _events: None)
        self.instruments = {one.name: InstrumentState(one) for one in config.instruments}
        self._clock = clock
        self._last_us = {
            bench: _last_us(config, bench, History(store.folder)) for bench in config.benches
        }

    async def run(self) -> None:
        """Keep what comes until cancelled; then write what is left. Raises StoreError."""
        try:
            async with asyncio.TaskGroup() as tasks:
                tasks.create_task(self._follow_inbox(), name="collection-inbox")
                tasks.create_task(self._keep_writing(), name="collection-writing")
        finally:
            self._take_in()
            rest = asyncio.ensure_future(self.batch.write())
            await seen_through(rest)
            rest.result()

    async def _follow_inbox(self) -> None:
        while True:
            await self.inbox.arrived.wait()
            self._take_in()
            if self.batch.has_events:
                await self.batch.write_now()

    async def _keep_writing(self) -> None:
        while True:
            await asyncio.sleep(COMMIT_S)
            await self.batch.write_now()

    def _take_in(self) -> None:
        for report in self.inbox.take():
            state = self.instruments[report.instrument]
            if isinstance(report, Sampled):
                reading = self._reading(report, state.instrument.bench)
                self.instruments[report.instrument] = state.heard(reading)
                self.batch.add(reading)
            else:
                self._link_changed(report, state)

    def _reading(self, sampled: Sampled, bench: str) -> Reading:
        """Give a sample its time: no two readings of a bench share one, see `Reading`."""
        at_us = sampled.taken_us // TIME_STEP_US * TIME_STEP_US
        taken_us = self._last_us[bench] = max(at_us, self._last_us[bench] + 1)
        return Reading(sampled.instrument, taken_us, sampled.sample.value, sampled.sample.quality)

    def _link_changed(self, report: LinkOpened | LinkFailed, state: InstrumentState) -> None:
        bench = state.instrument.bench
        if isinstance(report, LinkFailed):
            _LOG.warning("%s: %s. %s", report.instrument, report.reason, report.remedy)
            self.instruments[report.instrument] = state.lost(report.reason, report.remedy)
            lost = InstrumentLost(
                at_us=report.at_us,
                bench=bench,
                lot=None,
                instrument=report.instrument,
                reason=report.reason,
                remedy=report.remedy,
            )
            self.batch.note([lost])
        else:
            _LOG.info("%s: connected", report.instrument)
            self.instruments[report.instrument] = state.opened()
            found = InstrumentFound(
                at_us=report.at_us, bench=bench, lot=None, instrument=report.instrument
            )
            self.batch.note([found])


def _last_us(config: Config, bench: str, history: History) -> int:
    """Return when the latest stored reading of a bench was taken: a clock may have gone back."""
    names = [one.name for one in config.instruments if one.bench == bench]
    return history.last_reading_us(names) or 0
