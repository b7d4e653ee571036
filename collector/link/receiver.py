"""The hub's end: stores what benches send, says so, and knows which of them are there."""

import asyncio
import logging
from collections.abc import Awaitable, Callable, Iterable, Iterator, Sequence
from contextlib import suppress

from collector.clock import US_PER_S, Clock
from collector.errors import LinkError, PackError, StoreError
from collector.instrument_config import InstrumentConfig, Mqtt
from collector.link import bench_state, topics
from collector.link.bench_state import CUT_OFF, STOPPED, BenchState
from collector.link.broker import Arrived, Broker, Session, Will
from collector.link.presence import BenchPresence, Moment
from collector.link.topics import EVERY_BENCH, HUB_STATE, Kind
from collector.link.unpacking import Unpacker
from collector.mqtt_config import MqttConfig
from collector.readers.link import LinkFailed, LinkOpened, Sampled, Sink

_LOG = logging.getLogger(__name__)

GROUP = 16
"""Messages stored in one transaction where several wait: a hub that was away catches up."""

LOOK_S = 1.0
"""How often it is looked who has fallen silent."""

PATIENCE_S = 5.0
"""A broker that is away for less, to be restarted, is no trouble."""

GOODBYE_S = 2.0

Take = Callable[[Sequence[Sampled]], Awaitable[None]]
"""Takes samples and returns when they are on disk. Raises StoreError."""


class Receiver:
    """Receives the benches of a workshop's instruments of kind mqtt."""

    name = "receiver of benches"

    def __init__(
        self,
        config: MqttConfig,
        instruments: Iterable[InstrumentConfig],
        take: Take,
        report: Sink,
        clock: Clock,
    ) -> None:
        remote = [one for one in instruments if isinstance(one.link, Mqtt)]
        benches = dict.fromkeys(one.bench for one in remote)
        self._bench_of = {one.name: one.bench for one in remote}
        self._unpackers = {bench: Unpacker(bench, remote) for bench in benches}
        self._presences = {
            bench: BenchPresence(bench, unpacker.instruments)
            for bench, unpacker in self._unpackers.items()
        }
        self._take = take
        self._report = report
        self._clock = clock
        self._broker = Broker(config, "pourkeep-hub", Will(HUB_STATE, CUT_OFF.encode()))
        self._cut: LinkError | None = None
        self._cut_s: float | None = None
        self._strangers: set[str] = set()

    def rejected(self, instrument: str) -> dict[str, int]:
        """Return how much of what came was no sample of an instrument, by reason."""
        bench = self._bench_of.get(instrument)
        return {} if bench is None else self._unpackers[bench].rejected(instrument)

    def not_kept(self, instrument: str) -> dict[str, int]:
        """Return what of `rejected` was understood and confirmed, and has no place here."""
        bench = self._bench_of.get(instrument)
        return {} if bench is None else self._unpackers[bench].not_kept(instrument)

    async def run(self) -> None:
        """Receive until cancelled."""
        self._cut_s = asyncio.get_running_loop().time()
        async with asyncio.TaskGroup() as tasks:
            tasks.create_task(self._broker.stay_connected(self._visit, self._broken))
            tasks.create_task(self._look_around())

    async def _visit(self, session: Session) -> None:
        await session.subscribe(*EVERY_BENCH)
        self._cut = self._cut_s = None
        for presence in self._presences.values():
            presence.restored()
        # After subscribing: benches send as soon as they read it.
        now_us = self._clock.now_us()
        here = BenchState(state="online", at_us=now_us, since_us=now_us)
        await session.publish(HUB_STATE, here.encode(), retain=True)
        try:
            while True:
                await self._pass(session, await session.arrived(GROUP))
        except asyncio.CancelledError:
            with suppress(LinkError, TimeoutError):  # the last will says it otherwise
                async with asyncio.timeout(GOODBYE_S):
                    await session.publish(HUB_STATE, STOPPED.encode(), retain=True)
            raise

    def _broken(self, failure: LinkError) -> None:
        self._cut = failure
        if self._cut_s is None:
            self._cut_s = asyncio.get_running_loop().time()

    # ------------------------------------------------------------ readings

    async def _pass(self, session: Session, messages: Sequence[Arrived]) -> None:
        """Store the readings of some messages together, then confirm each."""
        samples, answers = [], []
        for bench, kind, message in self._known(messages):
            if kind is Kind.STATE:
                self._hear_state(bench, message)
            elif kind is Kind.READINGS and not message.retained:
                # The broker gives a retained one again at every connection, as if it were new.
                samples += self._samples(bench, message)
                answers += _answer(bench, message)
        if not samples and not answers:
            return
        try:
            await self._take(samples)
        except StoreError as error:
            _LOG.warning("readings of a bench are not confirmed: %s", error.message)
            return
        for topic, correlation in answers:
            await session.publish(topic, b"", correlation=correlation)

    def _known(self, messages: Iterable[Arrived]) -> Iterator[tuple[str, Kind, Arrived]]:
        """Give the messages of the benches here, each with its bench and kind."""
        for message in messages:
            whose = topics.read(message.topic)
            if whose is None:
                continue  # the hub's own state
            if whose[0] in self._unpackers:
                yield (*whose, message)
            else:
                self._ignore(whose[0])

    def _samples(self, bench: str, message: Arrived) -> list[Sampled]:
        at = self._moment()
        self._tell(self._presences[bench].heard(at))
        return self._unpackers[bench].samples(message.payload, at.now_us)

    def _ignore(self, bench: str) -> None:
        """Leave a bench alone that is not in the config: it keeps what it has until it is."""
        if bench not in self._strangers and len(self._strangers) < 100:
            self._strangers.add(bench)
            _LOG.warning('bench "%s" sends readings, but is not in this config', bench)

    # ------------------------------------------------------------ who is there

    def _hear_state(self, bench: str, message: Arrived) -> None:
        try:
            state = bench_state.decode(message.payload)
        except PackError as error:
            _LOG.warning("bench %s: %s", bench, error.message)
            return
        presence = self._presences[bench]
        self._tell(presence.told(state, self._moment(), retained=message.retained))

    async def _look_around(self) -> None:
        loop = asyncio.get_running_loop()
        while True:
            await asyncio.sleep(LOOK_S)
            at = self._moment()
            away_s = 0.0 if self._cut_s is None else loop.time() - self._cut_s
            for presence in self._presences.values():
                if away_s >= PATIENCE_S and self._cut is not None:
                    cut = self._cut
                    self._tell(presence.cut(_lower(cut.reason), f"{cut.remedy}.", at.now_us))
                elif self._cut_s is None:
                    self._tell(presence.tick(at))

    def _moment(self) -> Moment:
        # The service's own time moves where the system's clock steps.
        steady_us = round(asyncio.get_running_loop().time() * US_PER_S)
        return Moment(self._clock.now_us(), steady_us)

    def _tell(self, changes: Iterable[LinkFailed | LinkOpened]) -> None:
        for change in changes:
            self._report(change)


def _answer(bench: str, message: Arrived) -> list[tuple[str, bytes]]:
    """Return where and how a message is confirmed; a device that asks for nothing gets nothing."""
    topic = topics.of_bench(bench, Kind.STORED)
    if message.reply_to != topic or message.correlation is None:
        return []
    return [(topic, message.correlation)]


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
