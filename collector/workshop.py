"""The running service: store, benches, readers and pipeline put together and taken down."""

import asyncio
import logging
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import Protocol, Self

import msgspec

from collector.alarm_events import AlarmCleared
from collector.alarm_ledger import LEDGER_EVENTS, AlarmLedger
from collector.alarms import VIOLATED
from collector.batch import Batch, seen_through
from collector.bench import Bench
from collector.calibrations import CALIBRATION_EVENTS, Calibrating
from collector.clock import Clock
from collector.companions import Companion, Companions
from collector.config import Config
from collector.events import AnyEvent
from collector.housekeeping import Housekeeping
from collector.late import LAG_US
from collector.link.alarm_teller import AlarmTeller
from collector.link.assembly import forwarders_for, has_remote, targets_of
from collector.link.receiver import Receiver
from collector.lot_events import RecipeKept, RecipeRetired
from collector.lot_record import record_of
from collector.notices.post import NoticePost, post_of
from collector.notices_config import OPEN_FILE
from collector.pipeline import Pipeline, channels_at, local_channels, remote_benches
from collector.readers.assembly import readers_for
from collector.readers.link import Reader
from collector.recipe_book import recipe_book
from collector.recipe_file import RecipeFile, recipe_files
from collector.replay import derived_of, replay
from collector.sender_state import SenderState
from collector.service_events import CollectionResumed
from collector.space_watch import SpaceWatch
from collector.store.consignments import Targets
from collector.store.history import History
from collector.store.influx.sender import TARGET as INFLUX
from collector.store.influx.sender import sender_to
from collector.store.influx.server import InfluxServer
from collector.store.outbox import Outbox
from collector.store.store import Store
from collector.time_follower import begin_after

_LOG = logging.getLogger(__name__)

EVER_US = 2**63 - 1
"""A bench has judged all readings of its open lot that did not come late, also those that another
machine has timed ahead of this clock."""

SECOND_US = 1_000_000
"""Alarms between lots are named after the second since which their bench is idle."""


class Sender(Companion, Protocol):
    """A companion that empties an outbox into another place."""

    @property
    def state(self) -> SenderState:
        """How it stands."""
        ...

    @property
    def outbox(self) -> Outbox:
        """What waits for that place."""
        ...


class Workshop:
    """A workshop that collects; use it as `async with Workshop(config, clock) as workshop`.

    Raises StoreError where the data folder cannot be used, DocumentError for a recipe file
    that cannot. `running` ends before the context does only where a defect ends it; leaving the
    context raises that.
    """

    pipeline: Pipeline
    space: SpaceWatch

    def __init__(self, config: Config, clock: Clock) -> None:
        self.config = config
        self.clock = clock
        self.history = History(config.data)
        self.readers: list[Reader] = []
        self.companions = Companions([])
        self.scale_out = InfluxServer(config.influx) if config.influx else None
        self.senders: list[Sender] = []
        self.notices: NoticePost | None = None
        self._receiver: Receiver | None = None
        self.stopping = asyncio.Event()
        self.running: asyncio.Future[None] = asyncio.Future()
        self.opening = asyncio.Lock()  # a lot's number is taken and used by one request at a time
        self.noting = asyncio.Lock()  # so is a note's or photograph's name, and what it shows
        self.keeping = asyncio.Lock()  # and so is the number of a recipe's version
        self.recipe_paths: dict[str, Path] = {}  # of the folder's files, by the recipe's name

    async def __aenter__(self) -> Self:
        recipes = self._recipe_files()  # before anything is opened: the file is to be corrected
        self._store = Store.open(self.config.data, self._targets(), self.config.retention)
        try:
            await self._start(recipes)
        except BaseException:
            await self._stop()
            raise
        return self

    async def __aexit__(self, *_error: object) -> None:
        await self._stop()

    async def _start(self, recipes: list[RecipeFile]) -> None:
        stored_us = self.history.latest_us(local_channels(self.config))
        begin_after(self.clock, stored_us)
        await self._store.commit([], [*self._changed(recipes), *self._stale_alarms()])
        ledger = self._ledger()
        benches = self._benches(ledger, stored_us)
        self.pipeline = Pipeline(self.config, self._store, self.clock, benches, ledger)
        self.pipeline.begin(stored_us, self._calibrated())
        await self._resume(benches)
        self.running = asyncio.create_task(self.pipeline.run(), name="pipeline")
        self.readers = readers_for(self.config.instruments, self.clock)
        for reader in self.readers:
            reader.start(self.pipeline.inbox.put)
        stored = self.pipeline.batch.tally.readings
        self.space = SpaceWatch(self.config.data, stored.total)
        self.companions = Companions([self.space, *self._companions()])
        self.companions.start()

    async def _stop(self) -> None:
        """Take down what was put up. Raises what ended the pipeline, where it ended by itself.

        Cancelled, it sees that through: what is not on disk yet would be lost.
        """
        self.stopping.set()
        down = asyncio.ensure_future(self._take_down())
        cancelled = await seen_through(down)
        if cancelled is not None:
            raise cancelled
        down.result()

    async def _take_down(self) -> None:
        try:
            await self.companions.stop()
            await asyncio.gather(*(asyncio.to_thread(reader.stop) for reader in self.readers))
            self.running.cancel()
            await asyncio.wait([self.running])
            if not self.running.cancelled():
                self.running.result()
        finally:
            await asyncio.to_thread(self._store.close)

    async def lay_down(self, picture: bytes) -> str:
        """Put a photograph's bytes on disk for the event that is about to tell of them.

        Returns their SHA-256 in hex. Raises StoreError, after which nothing of them is kept.
        """
        return await self._store.lay_down(picture)

    @property
    def batch(self) -> Batch:
        """What is not on disk yet."""
        return self.pipeline.batch

    @property
    def beat_s(self) -> float | None:
        """The event loop's time of the pipeline's latest beat, None before the first."""
        return self.pipeline.beat_s

    def _targets(self) -> Targets:
        """Return the names of the places that commits are also to be sent to."""
        influx = {INFLUX: None} if self.scale_out is not None else {}
        return {**influx, **targets_of(self.config)}

    def _companions(self) -> list[Companion]:
        """Return what runs beside the pipeline."""
        pipeline = self.pipeline
        upkeep = Housekeeping(self._store, self.clock, lambda: pipeline.is_time_sure)
        return [upkeep, *self._to_influx(), *self._link(), *self._to_people()]

    def _to_people(self) -> Iterable[Companion]:
        """Give what tells alarms beyond the room."""
        if self.config.notices is not None:
            if self.config.notices.open_file is not None:
                _LOG.warning("%s: %s", self.config.notices.open_file, OPEN_FILE)
            ledger, name = self.pipeline.ledger, self.config.name
            self.notices = post_of(
                self.config.notices, name, lambda: ledger.standing_and(()), self.clock
            )
            yield self.notices

    def _to_influx(self) -> Iterable[Companion]:
        """Give what sends to the scale-out history."""
        if self.scale_out is not None:
            channels = [instrument.channel() for instrument in self.config.instruments]
            sender = sender_to(self.scale_out, self._store, channels, self.clock)
            self.senders.append(sender)
            yield sender

    def _link(self) -> Iterable[Companion]:
        """Give what a broker is needed for."""
        config, pipeline, clock = self.config, self.pipeline, self.clock
        if config.mqtt is None:
            return
        if has_remote(config):
            take, report = pipeline.receive, pipeline.inbox.put
            self._receiver = Receiver(config.mqtt, config.instruments, take, report, clock)
            yield self._receiver
        yield AlarmTeller(config.mqtt, pipeline.live, pipeline.ledger.standing_and, clock)
        stored, states = pipeline.batch.tally, pipeline.instruments
        forwarders = forwarders_for(config, self._store, clock, stored, lambda: states)
        self.senders += forwarders
        yield from forwarders

    def rejected(self, instrument: str) -> dict[str, int]:
        """Return how many messages of an instrument were no reading, by reason."""
        for reader in self.readers:
            if instrument in reader.names:
                return dict(reader.rejected(instrument))
        return {} if self._receiver is None else self._receiver.rejected(instrument)

    def not_kept(self, instrument: str) -> dict[str, int]:
        """Return how much of an instrument was confirmed and not kept here, by reason."""
        return {} if self._receiver is None else self._receiver.not_kept(instrument)

    def _recipe_files(self) -> list[RecipeFile]:
        """Read the recipe folder. Raises DocumentError."""
        folder = self.config.recipes
        return [] if folder is None else list(recipe_files(folder))

    def _changed(self, recipes: Iterable[RecipeFile]) -> Iterable[AnyEvent]:
        """Keep the recipes of the folder whose files changed since they were last taken.

        What a person kept on the page stands for as long as the file says what it said before.
        """
        kept = self.history.events_of([RecipeKept, RecipeRetired])
        book = recipe_book(stored.event for stored in kept)
        for file in recipes:
            self.recipe_paths[file.recipe.name] = file.path
            entry = book.get(file.recipe.name)
            if entry is None or entry.from_file != file.recipe:
                yield RecipeKept(
                    at_us=self.clock.now_us(),
                    bench=None,
                    lot=None,
                    recipe=file.recipe,
                    document=msgspec.Raw(msgspec.json.encode(file.document)),
                    file=file.path.name,
                )

    def _ledger(self) -> AlarmLedger:
        return AlarmLedger(stored.event for stored in self.history.events_of(LEDGER_EVENTS))

    def _calibrated(self) -> Iterable[Calibrating]:
        """Give all that the journal says of calibrations, also of instruments that are gone."""
        for stored in self.history.events_of(CALIBRATION_EVENTS):
            if isinstance(stored.event, CALIBRATION_EVENTS):
                yield stored.event

    def _stale_alarms(self) -> Iterable[AnyEvent]:
        """Clear what was raised between lots before the stop: it is judged afresh."""
        for alarm in self._ledger().alarms.values():
            if alarm.raised.lot is None and alarm.state in VIOLATED:
                yield AlarmCleared(
                    at_us=self.clock.now_us(),
                    bench=alarm.raised.bench,
                    lot=None,
                    alarm=alarm.raised.alarm,
                    outcome="the service was restarted",
                )

    def _benches(self, ledger: AlarmLedger, stored_us: int) -> list[Bench]:
        """Return every bench as the last stop left it, with its open lot where it has one."""
        now_us = self.clock.now_us()
        restored = {lot.bench: self._restored(lot.id) for lot in self.history.open_lots()}
        names = dict.fromkeys([*self.config.benches, *restored])
        since_us = dict.fromkeys(names, now_us)
        if stored_us + SECOND_US < now_us - LAG_US:  # else names of its alarms could come again
            # What is on its way to such a bench is in time.
            since_us |= dict.fromkeys(remote_benches(self.config), now_us - LAG_US)
        return [restored.get(name) or self._idle(name, since_us[name], ledger) for name in names]

    def _idle(self, name: str, since_us: int, ledger: AlarmLedger) -> Bench:
        channels, display = channels_at(self.config, name), self.config.display
        out_of_service = ledger.out_of_service(name)
        return Bench(name, channels, display, since_us, self.config.unattended, out_of_service)

    def _restored(self, lot: str) -> Bench:
        events = [stored.event for stored in self.history.events(lot)]
        opened = record_of(events).opened
        channels = [channel.name for channel in opened.channels]
        readings = self.history.bench_readings(channels, opened.at_us, EVER_US)
        bench, derived = replay(events, readings)
        if derived != derived_of(events):
            differs = "lot %s: judged again after the stop, its events differ"
            _LOG.warning(differs, lot, extra={"bench": opened.bench, "lot": lot})
        return bench

    async def _resume(self, benches: Iterable[Bench]) -> None:
        """Mark the time in which nothing was collected in every lot that is open."""
        for bench in benches:
            if bench.lot is None:
                continue
            since_us, lot = bench.now_us, bench.lot
            await self.pipeline.give(bench.name, partial(_resumed, bench.name, lot, since_us))
            about = {"bench": bench.name, "lot": lot}
            _LOG.warning("lot %s goes on after a stop", lot, extra=about)


def _resumed(bench: str, lot: str, since_us: int, at_us: int) -> CollectionResumed:
    return CollectionResumed(at_us=at_us, bench=bench, lot=lot, since_us=since_us)
