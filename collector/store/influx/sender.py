"""Every commit from the outbox to InfluxDB: late when it must be, lost never."""

import asyncio
import logging
import random
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from functools import partial
from itertools import chain

from msgspec.structs import replace

from collector.apart import apart
from collector.clock import US_PER_S, Clock
from collector.errors import PourkeepError
from collector.readings import Channel
from collector.sender_state import SenderState, Sending
from collector.store.consignments import Consignment, Refusal
from collector.store.history import History
from collector.store.influx.answers import MisconfiguredError, UnreachableError
from collector.store.influx.channel_book import ChannelBook
from collector.store.influx.delivery import deliver
from collector.store.influx.points import Lines
from collector.store.influx.server import InfluxServer
from collector.store.outbox import Outbox
from collector.store.store import Store

_LOG = logging.getLogger(__name__)

TARGET = "influx"
"""What the outbox calls it."""

FIRST_WAIT_S = 1.0
LAST_WAIT_S = 60.0
"""Waits for a server that is away double from the first to the last."""

WANTED_POINTS = 10_000
MOST_COMMITS = 500
FIRST_COMMITS = 10
"""Commits taken at once: as many as hold so many points, by the size of those before."""


COUNT_S = 5.0
"""How often what waits is counted while it is sent page after page: each count goes through all
of it."""


class Sender:
    """The companion that empties the outbox into a server."""

    name = TARGET

    def __init__(
        self,
        outbox: Outbox,
        server: InfluxServer,
        channels: Mapping[str, Channel],
        clock: Clock,
        every_s: float,
    ) -> None:
        self.outbox = outbox
        self.state = SenderState(TARGET)
        self._server = server
        self._lines = Lines(channels)
        self._clock = clock
        self._every_s = every_s
        self._commits = FIRST_COMMITS
        self._wait_s = FIRST_WAIT_S
        self._sent_us: int | None = None
        self._count_again_s = 0.0

    async def run(self) -> None:
        """Send until cancelled; a target that is away is asked again, less and less often."""
        while True:
            wait_s = await self._round()
            await asyncio.sleep(wait_s)

    async def _round(self) -> float:
        """Send what waits, at most a page of it; return after how long to go on."""
        try:
            more = await self._send()
        except PourkeepError as error:  # of the server, or of the store
            state, wait_s = self._troubled(error), self._backed_off_s(error)
        else:
            state, wait_s = self._well(more=more), 0.0 if more else self._every_s
        self.state = await self._counted(state)
        return wait_s

    async def _send(self) -> bool:
        """Send a page and forget it; return whether more waits."""
        page = await self.outbox.waiting(0, self._commits)
        full = len(page) == self._commits
        if page:
            refusals = await apart(partial(self._ship, page), "influx-sender")
            await self.outbox.sent([commit.id for commit in page], refusals)
            self._sent_us = self._clock.now_us()
            self._commits = _next_size(page)
        return full

    def _ship(self, page: Sequence[Consignment]) -> list[Refusal]:
        """Write a page's points, in a thread of its own; return what was refused of them."""
        lines = list(chain.from_iterable(self._lines_of(commit) for commit in page))
        refused = deliver(self._server.write, lines) if lines else []
        now_us = self._clock.now_us()
        return [Refusal(now_us, reason, line) for line, reason in refused]

    def _lines_of(self, commit: Consignment) -> list[str]:
        readings = [self._lines.reading(reading) for reading in commit.readings]
        return readings + [self._lines.event(stored) for stored in commit.events]

    # ------------------------------------------------------------ how it stands

    def _well(self, *, more: bool) -> SenderState:
        if self.state.reason is not None:
            _LOG.info("sending to InfluxDB again")
        self._wait_s = FIRST_WAIT_S
        sending = Sending.CATCHING_UP if more else Sending.UP_TO_DATE
        return SenderState(TARGET, sending, sent_us=self._sent_us)

    def _troubled(self, error: PourkeepError) -> SenderState:
        if self.state.reason != error.message:
            _LOG.warning("%s What is to be sent waits in the outbox.", error.message)
        wrong = isinstance(error, MisconfiguredError)
        return SenderState(
            TARGET,
            Sending.MISCONFIGURED if wrong else Sending.AWAY,
            reason=error.message,
            sent_us=self._sent_us,
            trouble_us=self.state.trouble_us or self._clock.now_us(),
        )

    def _backed_off_s(self, error: PourkeepError) -> float:
        """Return how long to wait: more each time, and jittered, or as the server asks.

        The jitter keeps the benches of a workshop from coming back all at once.
        """
        wait_s = self._wait_s * random.uniform(0.5, 1.0)  # noqa: S311 - jitter, no secret
        self._wait_s = min(2 * self._wait_s, LAST_WAIT_S)
        asked_s = error.after_s if isinstance(error, UnreachableError) else None
        return max(wait_s, min(asked_s or 0.0, LAST_WAIT_S))

    async def _counted(self, state: SenderState) -> SenderState:
        waiting, refused = self.state.waiting, self.state.refused
        now_s = asyncio.get_running_loop().time()
        if state.sending is Sending.CATCHING_UP and now_s < self._count_again_s:
            return replace(state, waiting=waiting, refused=refused)
        self._count_again_s = now_s + COUNT_S
        with suppress(PourkeepError):  # told elsewhere, of the store: the last counts stay
            waiting, refused = await self.outbox.depth(), await self.outbox.refusals()
        return replace(state, waiting=waiting, refused=refused)


def sender_to(
    server: InfluxServer, store: Store, configured: Iterable[Channel], clock: Clock
) -> Sender:
    """Return the sender that empties a store's outbox into a server."""
    channels = {channel.name: channel for channel in configured}
    book = ChannelBook(channels, History(store.folder))
    every_s = server.config.every_us / US_PER_S
    return Sender(Outbox(store, TARGET), server, book, clock, every_s)


def _next_size(page: Sequence[Consignment]) -> int:
    points = sum(len(commit.readings) + len(commit.events) for commit in page)
    return max(1, min(MOST_COMMITS, len(page) * WANTED_POINTS // max(points, 1)))
