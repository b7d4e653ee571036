"""Bounds of a request's body: how large it may be, and how long it may take to come."""

import asyncio
from http import HTTPStatus

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.problems import problem

MOST_BYTES = 1_000_000
"""The largest document that there is a use for, a pour day of many recipes, has some 50 kB."""

BODY_S = 20.0
"""A body that takes longer comes from nobody who means it."""

_TOO_LARGE = f"The body of a request may have at most {MOST_BYTES} bytes."
_TOO_SLOW = f"The body of the request did not come within {BODY_S:.0f} s."


class BodyLimit:
    """Wraps the application: a body that is too large or too slow is refused.

    What a request says about its length is believed where that refuses it at once; one that says
    nothing (chunks, RFC 9112, 7.1) is counted as it comes.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
        elif _told_length(scope) > MOST_BYTES:
            refused = problem(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, _TOO_LARGE)
            await refused(scope, receive, send)
        else:
            await self._app(scope, _Bounded(receive).receive, send)


class _Bounded:
    """Receives for one request."""

    def __init__(self, receive: Receive) -> None:
        self._receive = receive
        self._until_s = asyncio.get_running_loop().time() + BODY_S
        self._bytes = 0
        self._complete = False

    async def receive(self) -> Message:
        """Return the next message. Raises HTTPException, which becomes a problem document."""
        if self._complete:
            return await self._receive()  # waits for the end of the connection, however long
        try:
            async with asyncio.timeout_at(self._until_s):
                message = await self._receive()
        except TimeoutError:
            raise HTTPException(HTTPStatus.REQUEST_TIMEOUT, _TOO_SLOW) from None
        self._bytes += len(message.get("body", b""))
        if self._bytes > MOST_BYTES:
            raise HTTPException(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, _TOO_LARGE)
        self._complete = not message.get("more_body", False)
        return message


def _told_length(scope: Scope) -> int:
    """Return the content-length of a request, 0 where it says none that can be understood."""
    for name, value in scope["headers"]:
        if name == b"content-length" and value.isdigit():
            return int(value)
    return 0
