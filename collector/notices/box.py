"""What waits for one target: tried again for an hour, then given up."""

import asyncio
import logging
import random
from collections import deque
from zoneinfo import ZoneInfo

import msgspec
from msgspec.structs import replace

from collector.clock import Clock
from collector.notices import words
from collector.notices.carrier import Carrier, Sends
from collector.notices.message import Kind, Message
from collector.notices.state import Outcome, TargetState

_LOG = logging.getLogger(__name__)

MOST_WAITING = 50
"""Messages that wait for one target; beyond that the oldest go."""

FIRST_WAIT_S = 5.0
LAST_WAIT_S = 300.0
"""Waits between attempts double from the first to the last."""

GIVE_UP_S = 3600.0
"""For how long a message is tried: after that, what it says has been overtaken."""

LATE_US = 120_000_000
"""A message that is sent longer after it was written says when that was."""


class _Letter(msgspec.Struct, frozen=True):
    message: Message
    until_s: float


class Box:
    """One target's messages. Run it as a task."""

    def __init__(self, sends: Sends, target: str, clock: Clock, zone: ZoneInfo) -> None:
        self._carrier = Carrier(sends)
        self._clock = clock
        self._zone = zone
        self._state = TargetState(target)
        self._letters: deque[_Letter] = deque()
        self._asked: Message | None = None  # a test that somebody waits for
        self._awake = asyncio.Event()
        self._wait_s = FIRST_WAIT_S
        self._again_s = 0.0
        self.tested = asyncio.Event()
        """Set while no test is under way."""
        self.tested.set()

    @property
    def state(self) -> TargetState:
        """How the target stands."""
        return replace(self._state, waiting=len(self._letters))

    def put(self, message: Message) -> None:
        """Take a message to send. A test that somebody asked for goes first, and is tried once."""
        if message.is_test:
            self._test(Outcome.UNDER_WAY)
        if message.kind is Kind.TEST:
            self._asked = message
        else:
            until_s = asyncio.get_running_loop().time() + GIVE_UP_S
            self._letters.append(_Letter(message, until_s))
            if len(self._letters) > MOST_WAITING:
                self._lose("had to make room for a newer one")
        self._awake.set()

    async def run(self) -> None:
        """Send until cancelled."""
        try:
            while True:
                await self._rest()
                await self._next()
        finally:
            self._carrier.stop()

    async def _rest(self) -> None:
        """Wait until there is something to try."""
        loop = asyncio.get_running_loop()
        while self._asked is None and not (self._letters and loop.time() >= self._again_s):
            self._awake.clear()
            wait_s = self._again_s - loop.time() if self._letters else None
            try:
                async with asyncio.timeout(wait_s):
                    await self._awake.wait()
            except TimeoutError:
                return

    async def _next(self) -> None:
        """Try the test that was asked for, else the oldest message."""
        if self._asked is not None:
            asked, self._asked = self._asked, None
            if await self._tried(asked):
                self._get_on()  # what waits gets through as well
        elif self._letters:
            letter = self._letters[0]
            if not await self._tried(letter.message):
                self._back_off()
                return
            self._get_on()
            if letter in self._letters:  # it may have made room meanwhile
                self._letters.remove(letter)

    def _get_on(self) -> None:
        self._wait_s, self._again_s = FIRST_WAIT_S, 0.0

    def _back_off(self) -> None:
        """Wait longer each time, and give up what was tried for long enough."""
        now_s = asyncio.get_running_loop().time()
        jitter = random.uniform(0.5, 1.0)  # noqa: S311 - no secret
        self._again_s = now_s + self._wait_s * jitter
        self._wait_s = min(2 * self._wait_s, LAST_WAIT_S)
        while self._letters and self._letters[0].until_s <= now_s:
            self._lose("was tried for an hour")

    async def _tried(self, message: Message) -> bool:
        """Try a message once; return whether it got through."""
        reason = await self._carrier.carry(message, self._body(message))
        now_us, before = self._clock.now_us(), self._state
        if reason is None:
            self._state = before.got_through(now_us)
            if not before.working:
                _LOG.info("notices get through to %s again", before.target)
        else:
            self._state = before.failed_for(reason, now_us)
            if before.reason != reason:
                _LOG.warning("notices do not get through to %s: %s", before.target, reason)
        if message.is_test or (reason is not None and self._test_waits_behind()):
            self._test(Outcome.SENT if reason is None else Outcome.FAILED, reason)
        return reason is None

    def _body(self, message: Message) -> str:
        now_us = self._clock.now_us()
        if now_us - message.written_us <= LATE_US:
            return message.body
        return f"{message.body}\n\n{words.late(message, self._zone, now_us)}"

    def _test_waits_behind(self) -> bool:
        """Tell whether the latest test is the daily one, behind what does not get through."""
        return self._asked is None and any(letter.message.is_test for letter in self._letters)

    def _test(self, outcome: Outcome, reason: str | None = None) -> None:
        self._state = self._state.tested(outcome, self._clock.now_us(), reason)
        if outcome is Outcome.UNDER_WAY:
            self.tested.clear()
        else:
            self.tested.set()

    def _lose(self, why: str) -> None:
        """Give up the oldest message."""
        self._letters.popleft()
        self._state = replace(self._state, lost=self._state.lost + 1)
        _LOG.error("a notice to %s %s and is given up", self._state.target, why)
