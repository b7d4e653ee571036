"""What waits for one target, and the sending of it: tried again for an hour, then given up."""

import asyncio
import logging
import random
from collections import deque
from functools import partial
from typing import Protocol
from zoneinfo import ZoneInfo

import msgspec
from msgspec.structs import replace

from collector.apart import apart
from collector.clock import Clock
from collector.errors import NoticeError
from collector.notices import words
from collector.notices.message import Kind, Message
from collector.notices.state import Outcome, TargetState, TestState

_LOG = logging.getLogger(__name__)

MOST_WAITING = 50
"""Messages that wait for one target; beyond that the oldest go."""

SEND_S = 60.0
"""How long one sending may take. Its thread may go on longer, but never two at once."""

FIRST_WAIT_S = 5.0
LAST_WAIT_S = 300.0
"""Waits between attempts double from the first to the last."""

GIVE_UP_S = 3600.0
"""For how long a message is tried: after that, what it says has been overtaken."""

LATE_US = 120_000_000
"""A message that is sent longer after it was written says when that was."""

NO_ANSWER = f"there was no answer within {SEND_S:.0f} seconds."


class Sends(Protocol):
    """What sends to one address."""

    def send(self, subject: str, body: str) -> None:
        """Send; blocks. Raises NoticeError."""
        ...


class _Letter(msgspec.Struct, frozen=True):
    message: Message
    until_s: float


class Box:
    """One target's messages. `state` is how it stands; run it as a task."""

    def __init__(self, sends: Sends, target: str, clock: Clock, zone: ZoneInfo) -> None:
        self._sends = sends
        self._clock = clock
        self._zone = zone
        self._state = TargetState(target)
        self._letters: deque[_Letter] = deque()
        self._asked: Message | None = None  # a test that somebody waits for
        self._awake = asyncio.Event()
        self._wait_s = FIRST_WAIT_S
        self._again_s = 0.0
        self._sending: asyncio.Future[None] | None = None
        self._sends_now: Message | None = None

    @property
    def state(self) -> TargetState:
        """How it stands."""
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
            self._drop_what_is_too_much()
        self._awake.set()

    async def run(self) -> None:
        """Send until cancelled."""
        try:
            while True:
                await self._rest()
                await self._next()
        finally:
            if self._sending is not None:
                self._sending.cancel()

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
        asked, self._asked = self._asked, None
        if asked is not None:
            reason = await self._attempt(asked)
            self._settle(asked, reason)
            if reason is None:  # what waits gets through as well
                self._wait_s, self._again_s = FIRST_WAIT_S, asyncio.get_running_loop().time()
        elif self._letters:
            letter = self._letters[0]
            reason = await self._attempt(letter.message)
            self._settle(letter.message, reason)
            self._sort_out(letter, reason)

    def _sort_out(self, letter: _Letter, reason: str | None) -> None:
        """Forget a message that is sent, or that was tried for long enough."""
        now_s = asyncio.get_running_loop().time()
        if reason is None:
            self._wait_s, self._again_s = FIRST_WAIT_S, now_s
        else:
            jitter = random.uniform(0.5, 1.0)  # noqa: S311 - no secret
            self._again_s = now_s + self._wait_s * jitter
            self._wait_s = min(2 * self._wait_s, LAST_WAIT_S)
        if letter not in self._letters:
            return  # too much came meanwhile
        if reason is None:
            self._letters.remove(letter)
        elif now_s >= letter.until_s:
            self._letters.remove(letter)
            self._lose("was tried for an hour")

    async def _attempt(self, message: Message) -> str | None:
        """Send a message; return why it could not be sent, None where it was."""
        before, is_other = self._sending, self._sends_now is not message
        # What became of another message is told to nobody any more: it is tried again.
        if before is not None and is_other and await self._outcome(before) is NO_ANSWER:
            return NO_ANSWER
        if self._sending is None:
            call = partial(self._sends.send, message.subject, self._body(message))
            self._sending = asyncio.ensure_future(apart(call, f"notice-{self._state.target}"))
            self._sends_now = message
        return await self._outcome(self._sending)

    async def _outcome(self, sending: asyncio.Future[None]) -> str | None:
        """Wait for a sending; return why it failed, None where it did not."""
        done, _ = await asyncio.wait({sending}, timeout=SEND_S)
        if not done:
            return NO_ANSWER
        self._sending = None
        error = sending.exception()
        if error is not None and not isinstance(error, NoticeError):
            # A defect of a plugin: what it says may hold the address.
            return f"sending ran into a defect ({type(error).__name__})."
        return None if error is None else error.message

    def _body(self, message: Message) -> str:
        now_us = self._clock.now_us()
        if now_us - message.written_us <= LATE_US:
            return message.body
        return f"{message.body}\n\n{words.late(message, self._zone, now_us)}"

    # ------------------------------------------------------------ how it stands

    def _settle(self, message: Message, reason: str | None) -> None:
        """Keep what became of an attempt."""
        now_us, state = self._clock.now_us(), self._state
        if reason is None:
            if state.reason is not None:
                _LOG.info("notices get through to %s again", state.target)
            self._state = replace(
                state, sent=state.sent + 1, sent_us=now_us, reason=None, trouble_us=None
            )
        else:
            if state.reason != reason:
                _LOG.warning("notices do not get through to %s: %s", state.target, reason)
            self._state = replace(
                state,
                failed=state.failed + 1,
                failed_us=now_us,
                failure=reason,
                reason=reason,
                trouble_us=state.trouble_us or now_us,
            )
        if message.is_test or (reason is not None and self._test_waits_behind()):
            self._test(Outcome.SENT if reason is None else Outcome.FAILED, reason)

    def _test_waits_behind(self) -> bool:
        """Tell whether the latest test is the daily one, behind what does not get through."""
        return self._asked is None and any(letter.message.is_test for letter in self._letters)

    def _test(self, outcome: Outcome, reason: str | None = None) -> None:
        self._state = replace(self._state, test=TestState(outcome, self._clock.now_us(), reason))

    def _drop_what_is_too_much(self) -> None:
        while len(self._letters) > MOST_WAITING:
            self._letters.popleft()
            self._lose("had to make room for newer ones")

    def _lose(self, why: str) -> None:
        _LOG.error("a notice to %s %s and is given up", self._state.target, why)
        self._state = replace(self._state, lost=self._state.lost + 1)
