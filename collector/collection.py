"""A bench without a screen: its instruments are read, kept on disk and forwarded to the hub."""

import asyncio
import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from collector.batch import Batch, seen_through
from collector.clock import Clock, CorrectableClock
from collector.companions import Companions
from collector.config import Config
from collector.housekeeping import Housekeeping
from collector.inbox import Inbox
from collector.instrument_state import InstrumentState
from collector.link.assembly import forwarders_for, targets_of
from collector.link.forwarder import Forwarder
from collector.pipeline import COMMIT_S, TIME_STEP_US
from collector.readers.assembly import readers_for
from collector.readers.link import LinkFailed, LinkOpened, Reader, Sampled
from collector.readings import Reading
from collector.service_events import InstrumentFound, InstrumentLost
from collector.store.history import History
from collector.store.store import Store
from collector.time_follower import TimeFollower, begin_after

_LOG = logging.getLogger(__name__)


@asynccontextmanager
async def collecting(config: Config, clock: Clock) -> AsyncIterator["Collection"]:
    """Collect and forward for the block.

    `running` ends before the block does only where a defect ends it; leaving the block raises
    that. Raises StoreError where the data folder cannot be used.
    """
    store = Store.open(config.data, targets_of(config), config.retention)
    try:
        collection = Collection(config, store, clock)
        collection.running = asyncio.create_task(collection.run(), name="collection")
        collection.readers = readers_for(config.instruments, clock)
        for reader in collection.readers:
            reader.start(collection.inbox.put)
        stored, states = collection.batch.tally, collection.instruments
        collection.senders = forwarders_for(config, store, clock, stored, lambda: states)
        upkeep = Housekeeping(store, clock, lambda: collection.is_time_sure)
        companions = Companions([upkeep, *collection.senders])
        companions.start()
        try:
            yield collection
        finally:
            down = asyncio.ensure_future(_take_down(collection, companions))
            cancelled = await seen_through(down)  # what is not on disk yet would be lost
            if cancelled is not None:
                raise cancelled
            down.result()
    finally:
        await asyncio.to_thread(store.close)


async def _take_down(collection: "Collection", companions: Companions) -> None:
    await companions.stop()
    await asyncio.gather(*(asyncio.to_thread(r.stop) for r in collection.readers))
    collection.running.cancel()
    await asyncio.wait([collection.running])
    if not collection.running.cancelled():
        collection.running.result()


class Collection:
    """Readers to pending batch to store, and nothing else."""

    def __init__(self, config: Config, store: Store, clock: Clock) -> None:
        self.inbox = Inbox(asyncio.get_running_loop())
        self.batch = Batch(store, lambda _numbers, _events: None)
        self.instruments = {one.name: InstrumentState(one) for one in config.instruments}
        self.running: asyncio.Future[None] = asyncio.Future()
        self.readers: list[Reader] = []
        self.senders: list[Forwarder] = []
        self.beat_s: float | None = None
        """The event loop's time of the latest beat."""
        self._benches = {one.name: one.bench for one in config.instruments}
        history = History(store.folder)
        self._last_us = {bench: _last_us(config, bench, history) for bench in config.benches}
        self.batch.latest_us = stored_us = history.latest_us(self.instruments)
        begin_after(clock, stored_us)
        self._time = (
            TimeFollower(clock, stored_us, self.batch, config.benches, self._benches)
            if isinstance(clock, CorrectableClock)
            else None
        )

    @property
    def is_time_sure(self) -> bool:
        """Whether the time is what it should be, as far as anybody can tell."""
        return self._time is None or self._time.is_sure

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
            self.beat_s = asyncio.get_running_loop().time()
            self._look_at_clock()
            await self.batch.write_now()

    def _look_at_clock(self) -> None:
        """Follow a step of the system's clock: there are no lots here that it could tear."""
        if self._time is None:
            return
        self._time.keeper.look()
        self._take_in()  # what was measured before comes before
        step = self._time.due()
        if step is not None:
            self._time.follow(step)
            self._last_us = dict.fromkeys(self._last_us, step.stepped.at_us)
            for name, state in self.instruments.items():
                self.instruments[name] = state.moved(step.stepped.by_us)

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
    """Return when the latest reading of a bench was taken here: a clock may have gone back."""
    names = [one.name for one in config.instruments if one.bench == bench]
    return history.last_judged_us(names) or 0
