"""A bench with its store and forwarder, and a hub that is a whole workshop, at one broker."""

import asyncio
from collections.abc import AsyncIterator, Callable, Iterator, Sequence
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from time import monotonic

from collector.clock import SystemClock
from collector.clock_steps import Move
from collector.config import Config, Mqtt
from collector.instrument_config import InstrumentConfig
from collector.link.bench_state import InstrumentLink
from collector.link.forwarder import BenchAtHand, Forwarder, target_of
from collector.mqtt_config import MqttConfig
from collector.readings import Channel, Quality, Reading, Role
from collector.service_events import ClockStepped
from collector.store.history import History
from collector.store.outbox import Outbox
from collector.store.store import Store
from collector.workshop import Workshop

BENCH = "east"
ROLES = (Role.SCALE, Role.PITCHER, Role.POT, Role.ROOM)
CHANNELS = [Channel(f"{BENCH}-{role}", BENCH, role, 10_000_000) for role in ROLES]
EVER = 2**62
PATIENCE_S = 20.0


def now_us() -> int:
    return SystemClock().now_us()


def readings_since(since_us: int, seconds: float, channels: Sequence[Channel]) -> list[Reading]:
    """Return what instruments say twice a second, each at a millisecond of its own."""
    return [
        Reading(channel.name, since_us + half * 500_000 + place * 60_000, half, Quality.GOOD)
        for half in range(round(2 * seconds))
        for place, channel in enumerate(channels)
    ]


async def until(condition: Callable[[], bool], patience_s: float = PATIENCE_S) -> float:
    """Wait until a condition holds; return for how long."""
    began_s = monotonic()
    while not condition():
        assert monotonic() - began_s < patience_s, "it did not happen"
        await asyncio.sleep(0.02)
    return monotonic() - began_s


def kept(folder: Path, channels: Sequence[Channel] = CHANNELS) -> dict[str, list[tuple[int, ...]]]:
    """Return all that a data folder holds of some channels: times, values, qualities."""
    found = {}
    for channel in channels:
        span = History(folder).readings(channel.name, 0, EVER)
        rows = zip(span.times, span.values, span.qualities, strict=True)
        found[channel.name] = [tuple(int(number) for number in row) for row in rows]
    return found


def count(folder: Path, channels: Sequence[Channel] = CHANNELS) -> int:
    return sum(len(rows) for rows in kept(folder, channels).values())


class SendingBench:
    """A bench's store and what forwards it; the test says what is read."""

    def __init__(
        self, folder: Path, config: MqttConfig, channels: Sequence[Channel] = CHANNELS
    ) -> None:
        self.folder = folder
        self.channels = channels
        self.store = Store.open(folder, [target_of(BENCH)])
        self.outbox = Outbox(self.store, target_of(BENCH))
        self.links: tuple[InstrumentLink, ...] = ()
        self._config = config
        self._committed = self._steps = 0
        self._task: asyncio.Task[None] | None = None

    def start(self) -> None:
        at_hand = BenchAtHand(
            name=BENCH,
            channels=self.channels,
            committed=lambda: self._committed,
            steps=lambda: self._steps,
            links=lambda: self.links,
            version="0",
        )
        forwarder = Forwarder(self._config, at_hand, self.outbox, SystemClock())
        self._task = asyncio.create_task(forwarder.run(), name="forwarder")

    async def stop(self) -> None:
        if self._task is not None:
            self._task.cancel()
            with suppress(asyncio.CancelledError):
                await self._task
            self._task = None

    async def take(self, readings: Sequence[Reading], each: int = 8) -> None:
        """Store readings, so many in a commit."""
        for piece in pieces(readings, each):
            await self.store.commit(piece, [])
            self._committed += len(piece)

    async def step(self, by_us: int) -> None:
        """Let the clock step, and all that is stored move with it."""
        since_us = now_us()
        stepped = ClockStepped(
            at_us=since_us + by_us, bench=None, lot=None, by_us=by_us, since_us=since_us
        )
        move = Move(0, since_us, by_us)
        await self.store.commit_step([], [stepped], {one.name: move for one in self.channels})
        self._steps += 1

    async def emptied(self, patience_s: float = PATIENCE_S) -> float:
        """Wait until the hub has confirmed all; return for how long."""
        return await emptied(self.outbox, patience_s)


async def emptied(outbox: Outbox, patience_s: float = PATIENCE_S) -> float:
    """Wait until an outbox is empty; return for how long."""
    began_s = monotonic()
    while await outbox.depth():
        assert monotonic() - began_s < patience_s, "the spool was not emptied"
        await asyncio.sleep(0.05)
    return monotonic() - began_s


def pieces(readings: Sequence[Reading], each: int) -> Iterator[Sequence[Reading]]:
    for first in range(0, len(readings), each):
        yield readings[first : first + each]


@asynccontextmanager
async def sending_bench(
    folder: Path, config: MqttConfig, channels: Sequence[Channel] = CHANNELS
) -> AsyncIterator[SendingBench]:
    bench = SendingBench(folder, config, channels)
    bench.start()
    try:
        yield bench
    finally:
        await bench.stop()
        bench.store.close()


def hub_config(folder: Path, mqtt: MqttConfig, channels: Sequence[Channel] = CHANNELS) -> Config:
    instruments = tuple(
        InstrumentConfig(one.name, one.bench, one.role, Mqtt(one.name), one.silent_after_us)
        for one in channels
    )
    return Config(
        name="Quay Street",
        timezone="UTC",
        data=folder,
        benches=(BENCH,),
        instruments=instruments,
        mqtt=mqtt,
    )


@asynccontextmanager
async def hub(
    folder: Path, mqtt: MqttConfig, channels: Sequence[Channel] = CHANNELS
) -> AsyncIterator[Workshop]:
    async with Workshop(hub_config(folder, mqtt, channels), SystemClock()) as workshop:
        yield workshop
