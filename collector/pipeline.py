"""Readers to pending batch to bench to one transaction to live, and nothing else."""

import asyncio
import logging
from collections.abc import Callable, Iterable

from collector.alarms import AlarmLedger
from collector.bench import Bench, Tick
from collector.clock import Clock
from collector.config import Config
from collector.errors import StoreError
from collector.events import AnyEvent, AnyGiven, InstrumentFound, InstrumentLost, LotOpened
from collector.guidance import BenchStatus, status_of
from collector.inbox import Inbox
from collector.instrument_state import InstrumentState, LinkState
from collector.live import Happened, Live, Shown
from collector.readers.link import LinkFailed, LinkOpened, Report, Sampled
from collector.readings import Channel, Reading, Sample
from collector.store.store import Store

_LOG = logging.getLogger(__name__)

COMMIT_S = 0.5
"""Plain readings are on disk at most a second after they were taken: this, and the disk."""

REFRESH_S = 0.1
"""Screens get at most ten readings a second and channel."""

LAG_US = 300_000
"""A tick waits this long for readings that are still on their way from a reader's thread."""

RETRY_S = 2.0
"""A store that refuses a batch is tried again after this."""


class Pipeline:
    """The one path of every reading and event through the service."""

    def __init__(
        self,
        config: Config,
        store: Store,
        clock: Clock,
        benches: Iterable[Bench],
        ledger: AlarmLedger,
    ) -> None:
        self.config = config
        self.clock = clock
        self.live = Live()
        self.ledger = ledger
        self.benches = {bench.name: bench for bench in benches}
        self.instruments = {i.name: InstrumentState(i) for i in config.instruments}
        self.trouble: str | None = None
        self.inbox = Inbox(asyncio.get_running_loop())
        self._store = store
        self._channels = {i.name: i.channel() for i in config.instruments}
        self._readings: list[Reading] = []
        self._events: list[AnyEvent] = []
        self._writing = asyncio.Lock()
        self._statuses: dict[str, BenchStatus] = {}

    # ------------------------------------------------------------ running

    async def run(self) -> None:
        """Pass reports on until cancelled; then write what is left."""
        try:
            async with asyncio.TaskGroup() as tasks:
                tasks.create_task(self._follow_inbox(), name="pipeline-inbox")
                tasks.create_task(self._keep_time(), name="pipeline-time")
                tasks.create_task(self._refresh_screens(), name="pipeline-screens")
                tasks.create_task(self._keep_writing(), name="pipeline-writing")
        finally:
            await self._write()

    async def _follow_inbox(self) -> None:
        while True:
            await self.inbox.arrived.wait()
            for report in self.inbox.take():
                self._pass(report)
            if self._events:
                await self._write_or_wait()

    async def _keep_time(self) -> None:
        while True:
            await asyncio.sleep(0.5 / self.clock.speed if self.clock.speed < 50 else 0.01)
            until_us = self.clock.now_us() - round(LAG_US * self.clock.speed)
            for bench in self.benches.values():
                if until_us > bench.now_us:
                    self._events += bench.feed(Tick(until_us))
            if self._events:
                await self._write_or_wait()

    async def _refresh_screens(self) -> None:
        while True:
            await asyncio.sleep(REFRESH_S)
            self.live.refresh()
            self._tell_statuses()

    async def _keep_writing(self) -> None:
        while True:
            await asyncio.sleep(COMMIT_S)
            await self._write_or_wait()

    # ------------------------------------------------------------ what comes in

    async def give(self, bench: str | None, make: Callable[[int], AnyGiven]) -> AnyGiven:
        """Take an event from a person or the service; when this returns, it is on disk.

        `make` gets the time and returns the event. Raises ConflictError where it contradicts
        the bench's state, StoreError where it could not be written yet.
        """
        given = make(self._time_at(bench))
        at_bench = self.benches.get(bench) if bench is not None else None
        derived = at_bench.feed(given) if at_bench is not None else []
        self._events += [given, *derived]
        if isinstance(given, LotOpened) and at_bench is not None:
            self._repeat_losses(at_bench)
        await self._write()
        self._tell_statuses()
        return given

    def enter(self, instrument: str, sample: Sample) -> Reading:
        """Take a reading that a person typed in."""
        return self._sampled(Sampled(instrument, self.clock.now_us(), sample))

    def _pass(self, report: Report) -> None:
        if isinstance(report, Sampled):
            self._sampled(report)
            return
        state = self.instruments[report.instrument]
        if isinstance(report, LinkFailed):
            _LOG.warning("%s: %s. %s", report.instrument, report.reason, report.remedy)
            self._link_changed(report, state.lost(report.reason, report.remedy))
        else:
            _LOG.info("%s: connected", report.instrument)
            self._link_changed(report, state.opened())

    def _sampled(self, sampled: Sampled) -> Reading:
        channel = self._channels[sampled.instrument]
        bench = self.benches[channel.bench]
        # No two inputs of a bench share a microsecond, so that time alone orders a replay.
        taken_us = max(sampled.taken_us, bench.now_us + 1)
        reading = Reading(channel.name, taken_us, sampled.sample.value, sampled.sample.quality)
        self._readings.append(reading)
        self._events += bench.feed(reading)
        before = self.instruments[channel.name]
        self.instruments[channel.name] = after = before.heard(reading)
        if after.state is not before.state:
            self.live.tell(after)
        self.live.show(Shown(channel, reading))
        return reading

    def _link_changed(self, report: LinkOpened | LinkFailed, state: InstrumentState) -> None:
        self.instruments[report.instrument] = state
        self.live.tell(state)
        bench = self.benches[self._channels[report.instrument].bench]
        at_us = max(report.at_us, bench.now_us + 1)
        given: InstrumentLost | InstrumentFound
        if isinstance(report, LinkFailed):
            given = _lost(bench, at_us, state)
        else:
            given = InstrumentFound(
                at_us=at_us, bench=bench.name, lot=bench.lot, instrument=report.instrument
            )
        self._events += [given, *bench.feed(given)]

    def _repeat_losses(self, bench: Bench) -> None:
        """Tell a lot that begins what is missing already: it judges from its own record alone."""
        for state in self.instruments.values():
            if state.instrument.bench == bench.name and state.state is LinkState.LOST:
                given = _lost(bench, bench.now_us + 1, state)
                self._events += [given, *bench.feed(given)]

    def _time_at(self, bench: str | None) -> int:
        now_us = self.clock.now_us()
        return max(now_us, self.benches[bench].now_us + 1) if bench is not None else now_us

    # ------------------------------------------------------------ what goes out

    async def write_now(self) -> None:
        """Put on disk whatever has been shown so far; a store in trouble goes on being tried."""
        await self._write_or_wait()

    async def _write_or_wait(self) -> None:
        """Write what is pending; where the store refuses, say so, keep it and wait a while."""
        try:
            await self._write()
        except StoreError as error:
            if self.trouble != error.message:
                _LOG.error("%s", error.message)
            self.trouble = error.message
            await asyncio.sleep(RETRY_S)

    async def _write(self) -> None:
        async with self._writing:
            readings, events = self._readings, self._events
            self._readings, self._events = [], []
            commit = asyncio.ensure_future(self._store.commit(readings, events))
            try:
                await asyncio.wait([commit])  # not cancelled with us: it would stay unknown
                numbers = commit.result()
            except StoreError:
                self._readings = readings + self._readings
                self._events = events + self._events
                raise
            except asyncio.CancelledError:
                self._tell_events(await commit, events)
                raise
            self.trouble = None
            self._tell_events(numbers, events)

    def _tell_events(self, numbers: Iterable[int], events: Iterable[AnyEvent]) -> None:
        for seq, event in zip(numbers, events, strict=True):
            self.live.tell(Happened(seq, event, self.ledger.apply(event)))

    def _tell_statuses(self) -> None:
        for name, bench in self.benches.items():
            status = status_of(bench)
            if self._statuses.get(name) != status:
                self._statuses[name] = status
                self.live.tell(status)

    def status(self, bench: str) -> BenchStatus:
        """Return where a bench stands."""
        return status_of(self.benches[bench])


def _lost(bench: Bench, at_us: int, state: InstrumentState) -> InstrumentLost:
    return InstrumentLost(
        at_us=at_us,
        bench=bench.name,
        lot=bench.lot,
        instrument=state.instrument.name,
        reason=state.reason or "",
        remedy=state.remedy or "",
    )


def channels_at(config: Config, bench: str) -> tuple[Channel, ...]:
    """Return the channels of one bench."""
    return tuple(i.channel() for i in config.instruments if i.bench == bench)
