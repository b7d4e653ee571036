"""Readers to pending batch to bench to one transaction to live, and nothing else."""

import asyncio
import logging
from collections.abc import Callable, Iterable, Sequence

from collector.alarm_ledger import AlarmLedger
from collector.alarms import Alarm
from collector.arrivals import Arrivals
from collector.batch import Batch, seen_through
from collector.bench import Bench, Tick
from collector.calibrations import Calibrating, Calibrations
from collector.clock import Clock, CorrectableClock
from collector.clock_keeper import ClockState, Step
from collector.config import Config
from collector.errors import ConflictError, PourkeepError, StoreError
from collector.events import AnyDerived, AnyGiven
from collector.guidance import BenchStatus
from collector.inbox import Inbox
from collector.instrument_config import Mqtt
from collector.instrument_state import InstrumentState, LinkState
from collector.late import AHEAD_US
from collector.late import LAG_US as REMOTE_LAG_US
from collector.live import Live, Shown
from collector.lot_events import LotClosed, LotJudged, LotOpened, MarkWithdrawn, PhaseMarked
from collector.readers.link import LinkFailed, LinkOpened, Report, Sampled
from collector.readings import Channel, Reading, Sample
from collector.screen_news import ScreenNews
from collector.seen_rate import SeenRate
from collector.service_events import (
    CalibrationWithdrawn,
    InstrumentCalibrated,
    InstrumentFound,
    InstrumentLost,
)
from collector.store.history import History
from collector.store.store import Store
from collector.time_follower import TimeFollower

_LOG = logging.getLogger(__name__)

COMMIT_S = 0.5
"""Plain readings are on disk at most a second after they were taken: this, and the disk."""

REFRESH_S = 0.1
"""Screens get what is new at most ten times a second."""

LAG_US = 300_000
"""A tick waits this long for readings that are still on their way from a reader's thread."""

TIME_STEP_US = 1_000
"""Readings are timed in whole milliseconds: a line's own delays are longer, and a microsecond
that means nothing would take most of the room of a sealed reading."""


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
        self.inbox = Inbox(asyncio.get_running_loop())
        self.beat_s: float | None = None
        """The event loop's time of the latest beat."""
        self._news = ScreenNews(self.live, ledger, self.benches, self.instruments, clock)
        self._batch = Batch(store, self._news.happened)
        self._time: TimeFollower | None = None
        self._channels = {i.name: i.channel() for i in config.instruments}
        self._remote = remote_benches(config)
        local = local_channels(config)
        self.calibrations = Calibrations(
            [name for name in self._channels if name not in local],
            forwarded=config.mqtt is not None and config.mqtt.forward,
        )
        self.seen = SeenRate()
        history = History(store.folder)
        self._arrivals = Arrivals(
            self._batch, history, self.benches, self._channels, clock, self._keep
        )
        self._lost_samples = 0

    def begin(self, stored_us: int, calibrated: Iterable[Calibrating] = ()) -> None:
        """Take it that all begins now, after what was stored last before.

        `calibrated` is all that the journal says of calibrations.
        """
        self._batch.latest_us = stored_us
        for event in calibrated:
            self.calibrations.apply(event)
        if isinstance(self.clock, CorrectableClock):
            bench_of = {name: self._channels[name].bench for name in local_channels(self.config)}
            elsewhere = self._remote - set(bench_of.values())
            benches = [name for name in self.benches if name not in elsewhere]
            self._time = TimeFollower(self.clock, stored_us, self._batch, benches, bench_of)

    # ------------------------------------------------------------ running

    async def run(self) -> None:
        """Pass reports on until cancelled; then write what is left.

        Raises PourkeepError where a defect ends it, StoreError where the rest cannot be written.
        """
        try:
            async with asyncio.TaskGroup() as tasks:
                tasks.create_task(self._follow_inbox(), name="pipeline-inbox")
                tasks.create_task(self._keep_time(), name="pipeline-time")
                tasks.create_task(self._refresh_screens(), name="pipeline-screens")
                tasks.create_task(self._keep_writing(), name="pipeline-writing")
        except asyncio.CancelledError:
            self._take_in()  # what came while the readers were stopping
            for bench in self.benches:
                self._arrivals.tell_runs(of=bench)
            raise
        except ExceptionGroup as defects:
            _LOG.critical("the service ran into a defect", exc_info=defects)
            raise PourkeepError(
                f"The service stopped over a defect of its own ({defects.exceptions[0]!r})."
                " Start it again, and please report the lines of the log above this one."
            ) from defects
        finally:
            rest = asyncio.ensure_future(self._batch.write())
            await seen_through(rest)
            rest.result()

    async def _follow_inbox(self) -> None:
        while True:
            await self.inbox.arrived.wait()
            self._take_in()
            if self.inbox.dropped > self._lost_samples:
                lost, self._lost_samples = self.inbox.dropped, self.inbox.dropped
                _LOG.error("%d samples so far were dropped: the service did not keep up", lost)
            if self._batch.has_events:
                await self.write_now()

    def _take_in(self) -> None:
        for report in self.inbox.take():
            self._pass(report)

    async def _keep_time(self) -> None:
        while True:
            await asyncio.sleep(0.5 / self.clock.speed if self.clock.speed < 50 else 0.01)
            self.beat_s = asyncio.get_running_loop().time()
            self.seen.look(self.beat_s, self._batch.tally.readings)
            self._look_at_clock()
            for name, bench in self.benches.items():
                until_us = self._come_until(REMOTE_LAG_US if name in self._remote else LAG_US)
                if until_us > bench.now_us:
                    self._batch.note(bench.feed(Tick(until_us)))
            self._arrivals.tell_runs()
            if self._batch.has_events:
                await self.write_now()

    def _look_at_clock(self) -> None:
        """Tell open lots that the time is wrong; follow the system's clock when there is none."""
        if self._time is None:
            return
        keeper = self._time.keeper
        keeper.look()
        lots = [(bench, bench.lot) for bench in self.benches.values() if bench.lot is not None]
        for bench, lot in lots:
            found = keeper.found_off(bench.name, lot, self._time_at(bench))
            if found is not None:
                about = {"bench": bench.name, "lot": lot}
                _LOG.warning("lot %s: the time is known to be wrong", lot, extra=about)
                self._batch.note([found, *bench.feed(found)])
        if not lots and self._batch.at_rest:
            self._take_in()  # what was measured before comes before
            step = self._time.due()
            if step is not None:
                self._follow(self._time, step)

    def _follow(self, time: TimeFollower, step: Step) -> None:
        """Let the service's time follow a step of the system's clock."""
        for bench in self.benches.values():
            self._batch.note(bench.feed(step.stepped))
        time.follow(step)
        for name in local_channels(self.config):  # others' times were true
            self.instruments[name] = self.instruments[name].moved(step.stepped.by_us)
        for bench in self.benches.values():
            self._repeat_losses(bench)

    async def _refresh_screens(self) -> None:
        while True:
            await asyncio.sleep(REFRESH_S)
            self._news.refresh(self._batch)

    async def _keep_writing(self) -> None:
        while True:
            await asyncio.sleep(COMMIT_S)
            await self.write_now()

    # ------------------------------------------------------------ what comes in

    async def give(self, bench: str | None, make: Callable[[int], AnyGiven]) -> AnyGiven:
        """Take an event from a person or the service; when this returns, it is on disk.

        `make` gets the time and returns the event, or raises: what it sees of the service stays
        so until the event is in. Raises ConflictError where the event contradicts the bench's
        state, StoreError where it could not be written yet: it is kept and written later.
        """
        self._take_in()  # what was measured before comes before
        at_bench = self.benches.get(bench or "")
        if at_bench is not None:
            self._arrivals.tell_runs(of=at_bench.name)  # in the lot that it is still about
        given = make(self._time_at(at_bench))
        derived = self._fed(at_bench, given) if at_bench is not None else []
        self._batch.note([given, *derived])
        if isinstance(given, InstrumentCalibrated | CalibrationWithdrawn):
            self.calibrations.apply(given)
        if isinstance(given, LotOpened) and at_bench is not None:
            self._repeat_losses(at_bench)
        if isinstance(given, LotClosed) and at_bench is not None and self._time is not None:
            self._time.keeper.closed(at_bench.name, given.at_us)
        try:
            await self._batch.write()
        except StoreError as error:
            raise StoreError(f"{error.message} It is kept until then: do not repeat it.") from error
        self._news.tell_statuses(self._batch)
        return given

    def _fed(self, bench: Bench, given: AnyGiven) -> list[AnyDerived]:
        """Feed a bench what concerns it: the aftercare of a closed lot happens elsewhere."""
        if isinstance(given, LotJudged):
            return []
        about_lot = isinstance(given, PhaseMarked | MarkWithdrawn | LotClosed)
        if not about_lot or given.lot == bench.lot:
            return bench.feed(given)
        if isinstance(given, PhaseMarked | MarkWithdrawn) and given.aftercare:
            return []
        raise ConflictError(f"Lot {given.lot} is not open any more.")

    def foreseen(self, alarm: str) -> Alarm:
        """Return an alarm as it will stand once all that is pending is on disk.

        Raises NotFoundError.
        """
        ahead = self.ledger.copy()
        for event in self._batch.unwritten:
            ahead.apply(event)
        return ahead.find(alarm)

    async def receive(self, samples: Sequence[Sampled]) -> None:
        """Take readings that were timed elsewhere; when this returns, they are on disk.

        Raises StoreError: they are to be sent again.
        """
        self._take_in()  # what was told of their benches before comes before
        await self._arrivals.receive(samples)

    def enter(self, instrument: str, sample: Sample) -> Reading:
        """Take a reading that a person typed in, and return it as it is kept."""
        bench = self.benches[self._channels[instrument].bench]
        return self._sampled(Sampled(instrument, self._time_at(bench), sample))

    def _pass(self, report: Report) -> None:
        if isinstance(report, Sampled):
            self._sampled(report)
            return
        state = self.instruments[report.instrument]
        if isinstance(report, LinkFailed):
            _LOG.warning(
                "%s: %s. %s",
                *(report.instrument, report.reason, report.remedy),
                extra={"instrument": report.instrument},
            )
            self._link_changed(report, state.lost(report.reason, report.remedy))
        else:
            about = {"instrument": report.instrument}
            _LOG.info("%s: connected", report.instrument, extra=about)
            self._link_changed(report, state.opened())

    def _sampled(self, sampled: Sampled) -> Reading:
        channel = self._channels[sampled.instrument]
        bench = self.benches[channel.bench]
        taken_us = self._not_ahead(sampled.taken_us) // TIME_STEP_US * TIME_STEP_US
        # No two inputs of a bench share a microsecond, so that time alone orders a replay.
        taken_us = max(taken_us, bench.now_us + 1)
        sample = sampled.sample
        return self._keep(Reading(channel.name, taken_us, sample.value, sample.quality))

    def _keep(self, seen: Reading) -> Reading:
        """Take a reading as it was shown, under its time, and return it as it is kept.

        One that is late is not judged.
        """
        reading = self.calibrations.corrected(seen)
        channel, state = self._channels[reading.channel], self.instruments[reading.channel]
        self._batch.add(reading)
        if not reading.late:
            events = self.benches[channel.bench].feed(reading)
            if events:
                self._batch.note(events)
        elif state.last is not None and state.last.taken_us > reading.taken_us:
            return reading  # what is shown is newer
        elif reading.taken_us > self.clock.now_us() + AHEAD_US:
            return reading  # nothing that is true could follow it on a screen
        self.instruments[channel.name] = state.heard(reading)
        self.live.show(Shown(channel, reading, seen.value))
        return reading

    def _link_changed(self, report: LinkOpened | LinkFailed, state: InstrumentState) -> None:
        self.instruments[report.instrument] = state
        bench = self.benches[self._channels[report.instrument].bench]
        at_us = max(self._not_ahead(report.at_us), bench.now_us + 1)
        given: InstrumentLost | InstrumentFound
        if isinstance(report, LinkFailed):
            given = _lost(bench, at_us, state)
        else:
            given = InstrumentFound(
                at_us=at_us, bench=bench.name, lot=bench.lot, instrument=report.instrument
            )
        self._batch.note([given, *bench.feed(given)])

    def _not_ahead(self, at_us: int) -> int:
        """Return a thread's time; it may have looked just before the clock was moved back."""
        return at_us if self._time is None else min(at_us, self.clock.now_us())

    def _repeat_losses(self, bench: Bench) -> None:
        """Tell a lot that begins what is missing already: it judges from its own record alone."""
        for state in self.instruments.values():
            if state.instrument.bench == bench.name and state.state is LinkState.LOST:
                given = _lost(bench, bench.now_us + 1, state)
                self._batch.note([given, *bench.feed(given)])

    def _time_at(self, bench: Bench | None) -> int:
        """Return the time of what is given now: the clock's, but after all that a bench had.

        Where readings come over a network, those of the last moments are still on their way. A
        mark at the clock's time would overtake them, and nobody would judge them. There it stands
        right behind the latest reading that has come, which is what she saw as she pressed: most
        often a second ago, and never longer than the bench is behind the clock.
        """
        now_us = self.clock.now_us()
        if bench is None:
            return now_us
        if bench.name in self._remote:
            now_us = self._come_until(REMOTE_LAG_US)
        return max(now_us, bench.now_us + 1)

    def _come_until(self, lag_us: int) -> int:
        """Return up to when all should have come that is no longer under way than this."""
        return self.clock.now_us() - round(lag_us * self.clock.speed)

    # ------------------------------------------------------------ what goes out

    @property
    def trouble(self) -> str | None:
        """Why nothing is being kept at the moment and what that means, None where all is well."""
        return self._batch.trouble.sentence if self._batch.trouble is not None else None

    @property
    def batch(self) -> Batch:
        """What is not on disk yet."""
        return self._batch

    @property
    def clock_state(self) -> ClockState | None:
        """How right the time is; None for the clock of a simulated day."""
        return self._time.keeper.state if self._time is not None else None

    @property
    def is_time_sure(self) -> bool:
        """Whether the time is what it should be, as far as anybody can tell."""
        return self._time is None or self._time.is_sure

    async def write_now(self) -> None:
        """Write what is pending; where the store refuses, say so, keep it and wait a while."""
        await self._batch.write_now()

    def status(self, bench: str) -> BenchStatus:
        """Return where a bench stands, as far as that is on disk."""
        self._news.tell_statuses(self._batch)
        return self._news.status(bench)


def _lost(bench: Bench, at_us: int, state: InstrumentState) -> InstrumentLost:
    return InstrumentLost(
        at_us=at_us,
        bench=bench.name,
        lot=bench.lot,
        instrument=state.instrument.name,
        reason=state.reason or "",
        remedy=state.remedy or "",
    )


def local_channels(config: Config) -> list[str]:
    """Return the channels whose readings this machine's clock times."""
    return [i.name for i in config.instruments if not isinstance(i.link, Mqtt)]


def channels_at(config: Config, bench: str) -> tuple[Channel, ...]:
    """Return the channels of one bench."""
    return tuple(i.channel() for i in config.instruments if i.bench == bench)


def remote_benches(config: Config) -> set[str]:
    """Return the benches of which readings come over a network."""
    return {i.bench for i in config.instruments if isinstance(i.link, Mqtt)}
