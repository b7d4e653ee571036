"""One sending at a time to one address, in a thread of its own, and for no longer than a minute."""

import asyncio
from functools import partial
from typing import Protocol

from collector.apart import apart
from collector.errors import NoticeError
from collector.notices.message import Message

SEND_S = 60.0
"""How long one sending may take. Its thread may go on longer, but never two at once."""

NO_ANSWER = f"there was no answer within {SEND_S:.0f} seconds."


class Sends(Protocol):
    """What sends to one address."""

    def send(self, subject: str, body: str) -> None:
        """Send; blocks. Raises NoticeError."""
        ...


class Carrier:
    """Carries messages to one address."""

    def __init__(self, sends: Sends) -> None:
        self._sends = sends
        self._sending: asyncio.Future[None] | None = None
        self._carries: Message | None = None

    async def carry(self, message: Message, body: str) -> str | None:
        """Send a message; return why it could not be sent, None where it was."""
        before, is_other = self._sending, self._carries is not message
        # What became of another message is told to nobody any more: it is tried again.
        if before is not None and is_other and await self._outcome(before) is NO_ANSWER:
            return NO_ANSWER
        if self._sending is None:
            call = partial(self._sends.send, message.subject, body)
            self._sending = asyncio.ensure_future(apart(call, "notice"))
            self._carries = message
        return await self._outcome(self._sending)

    def stop(self) -> None:
        """Leave behind what is under way."""
        if self._sending is not None:
            self._sending.cancel()
            self._sending = None

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
