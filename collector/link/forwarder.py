"""Sends what a bench has stored to the hub, and forgets it only when the hub has it on disk."""

import asyncio
import logging
import secrets
from collections.abc import Callable, Sequence
from contextlib import suppress

import msgspec

from collector.clock import Clock
from collector.errors import LinkError, PackError, StoreError
from collector.link import bench_state, topics
from collector.link.bench_state import CUT_OFF, STOPPED, BenchState, InstrumentLink
from collector.link.broker import Arrived, Broker, Session, Will
from collector.link.parcels import parcels_of
from collector.link.topics import HUB_STATE, Kind
from collector.link.window import Window
from collector.mqtt_config import MqttConfig
from collector.readings import Channel
from collector.sender_state import SenderState, Sending
from collector.store.outbox import Outbox

_LOG = logging.getLogger(__name__)

HEARTBEAT_S = 3.0
"""How often a bench tells its state, though nothing has changed."""

LOOK_S = 0.1
"""How often it is looked whether something has changed or was committed."""

FORGET_S = 5.0
"""How often what the hub has confirmed is taken out of the outbox: a write to the disk each, and
a memory card bears only so many. What a crash leaves there is sent again."""

COMMITS = 64
"""Commits read out of the outbox at once: about a message full of half seconds."""

RETRY_S = 2.0
"""A store that refuses is asked again after this."""

PATIENCE_S = 30.0
"""A hub that is there and confirms nothing for so long cannot store."""

GOODBYE_S = 2.0
"""How long saying goodbye may take."""


def target_of(bench: str) -> str:
    """Return the name of a bench's outbox."""
    return f"mqtt:{bench}"


class BenchAtHand(msgspec.Struct, frozen=True):
    """A bench of this program; `committed` grows with what is stored, `links` is how it does.

    `steps` grows when what waits in the outbox has moved with the clock.
    """

    name: str
    channels: Sequence[Channel]
    committed: Callable[[], int]
    steps: Callable[[], int]
    links: Callable[[], tuple[InstrumentLink, ...]]
    version: str


class Forwarder:
    """Forwards one bench."""

    def __init__(
        self, config: MqttConfig, bench: BenchAtHand, outbox: Outbox, clock: Clock
    ) -> None:
        self.name = f"forwarder of {bench.name}"
        self.outbox = outbox
        self._bench = bench
        self._clock = clock
        self._quantities = {channel.name: channel.quantity for channel in bench.channels}
        will = Will(topics.of_bench(bench.name, Kind.STATE), CUT_OFF.encode())
        self._broker = Broker(config, f"pourkeep-bench-{bench.name}", will)
        self._window = Window(secrets.token_hex(8))
        self._cursor = 0
        self._seen = -1  # of `committed`
        self._steps = bench.steps()
        self._more = True
        self._confirmed: list[int] = []
        self._forgotten_s = 0.0
        self._hub_is_there = False
        self._depth = 0
        self._woken = asyncio.Event()

    @property
    def state(self) -> SenderState:
        """How the sending to the hub stands."""
        done = self._window.is_empty and not self._more
        sending = Sending.UP_TO_DATE if done else Sending.CATCHING_UP
        reason = self._obstacle()
        return SenderState(
            target=f"hub, for bench {self._bench.name}",
            sending=sending if reason is None else Sending.AWAY,
            waiting=self._depth,
            reason=reason,
        )

    def _obstacle(self) -> str | None:
        """Return why nothing is sent, None where something could be."""
        if self._broker.trouble is not None:
            return self._broker.trouble.message
        if not self._hub_is_there:
            return "The hub is not at the broker. See that it runs."
        if self._window.unconfirmed_s(asyncio.get_running_loop().time()) > PATIENCE_S:
            return "The hub does not confirm what it is sent. See to its disk and its log."
        return None

    async def run(self) -> None:
        """Forward until cancelled; what was not confirmed stays in the outbox."""
        try:
            await self._broker.stay_connected(self._visit)
        finally:
            with suppress(StoreError):  # it is sent again, then
                await self._forget()

    async def _visit(self, session: Session) -> None:
        self._hub_is_there = False  # until its state says so
        await session.subscribe(topics.of_bench(self._bench.name, Kind.STORED), HUB_STATE)
        try:
            async with asyncio.TaskGroup() as tasks:
                tasks.create_task(self._tell_state(session))
                tasks.create_task(self._listen(session))
                tasks.create_task(self._send(session))
        except asyncio.CancelledError:
            with suppress(LinkError, TimeoutError):  # the last will says it otherwise
                async with asyncio.timeout(GOODBYE_S):
                    await self._publish_state(session, STOPPED)
            raise

    # ------------------------------------------------------------ the bench's state

    async def _tell_state(self, session: Session) -> None:
        since_us = self._clock.now_us()
        while True:
            links, waiting = self._bench.links(), await self._waiting()
            state = BenchState(
                state="online",
                version=self._bench.version,
                at_us=self._clock.now_us(),
                since_us=since_us,
                waiting=waiting,
                instruments=links,
            )
            await self._publish_state(session, state)
            for _ in range(round(HEARTBEAT_S / LOOK_S)):
                await asyncio.sleep(LOOK_S)
                if self._bench.links() != links:
                    break

    async def _waiting(self) -> int | None:
        """Return how many commits wait; None where the store does not say."""
        try:
            waiting = await self.outbox.depth()
        except StoreError:
            return None
        self._depth = waiting
        self._more = self._more or waiting > 0  # `committed` does not count events
        return waiting

    async def _publish_state(self, session: Session, state: BenchState) -> None:
        topic = topics.of_bench(self._bench.name, Kind.STATE)
        await session.publish(topic, state.encode(), retain=True)

    # ------------------------------------------------------------ from the hub

    async def _listen(self, session: Session) -> None:
        while True:
            for message in await session.arrived(COMMITS):
                if message.topic == HUB_STATE:
                    self._hear_hub(message)
                elif message.correlation is not None:
                    self._confirmed += self._window.confirmed(message.correlation)
            self._woken.set()

    def _hear_hub(self, message: Arrived) -> None:
        try:
            self._hub_is_there = bench_state.decode(message.payload).online
        except PackError as error:
            _LOG.warning("%s: %s", HUB_STATE, error.message)
            return
        if self._hub_is_there:  # what it had not stored when it went is gone
            self._window.reopen()

    # ------------------------------------------------------------ to the hub

    async def _send(self, session: Session) -> None:
        self._window.reopen()
        while True:
            try:
                await self._advance(session)
            except StoreError as error:  # a full disk, perhaps: it goes on when there is room
                _LOG.warning("%s: %s", self.name, error.message)
                await asyncio.sleep(RETRY_S)
            with suppress(TimeoutError):
                async with asyncio.timeout(LOOK_S):
                    await self._woken.wait()
            self._woken.clear()

    async def _advance(self, session: Session) -> None:
        """Forget what is confirmed, and send what is due."""
        loop = asyncio.get_running_loop()
        if loop.time() - self._forgotten_s >= FORGET_S:
            await self._forget()
        self._follow_steps()
        if not self._hub_is_there:
            return
        await self._fill()
        self._follow_steps()
        for correlation, parcel in self._window.due(loop.time()):
            await session.publish(
                topics.of_bench(self._bench.name, Kind.READINGS),
                parcel.payload,
                reply_to=topics.of_bench(self._bench.name, Kind.STORED),
                correlation=correlation,
            )
            self._window.sent(correlation, loop.time())

    def _follow_steps(self) -> None:
        """Pack again what a step of the clock has moved.

        What was sent to a hub that is there stays as it is: it may be stored already, and would
        be there twice.
        """
        if self._bench.steps() == self._steps:
            return
        self._steps = self._bench.steps()
        if not self._hub_is_there:
            self._window.reopen()
        first = self._window.withdraw()
        if first is not None:
            self._cursor, self._more = first - 1, True

    async def _fill(self) -> None:
        """Take commits out of the outbox while there are some and there is room."""
        while self._window.has_room and (self._more or self._bench.committed() != self._seen):
            seen = self._bench.committed()  # before looking: the next may come meanwhile
            taken = await self.outbox.waiting(self._cursor, COMMITS)
            self._seen, self._more = seen, len(taken) == COMMITS
            if taken:
                self._cursor = taken[-1].id
            parcels, done = parcels_of(taken, self._quantities)
            self._confirmed += done
            for parcel in parcels:
                self._window.add(parcel)

    async def _forget(self) -> None:
        """Take what is confirmed out of the outbox. Raises StoreError: it is kept for later."""
        numbers = tuple(self._confirmed)
        if numbers:
            await self.outbox.sent(numbers)
            del self._confirmed[: len(numbers)]
        self._forgotten_s = asyncio.get_running_loop().time()
