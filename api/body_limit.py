"""Bounds of a request's body: how large it may be, and how long it may take to come."""

import asyncio
import re
from http import HTTPStatus

import msgspec
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.problems import problem
from collector import pictures

MOST_BYTES = 1_000_000
"""The largest document that there is a use for, a pour day of many recipes, has some 50 kB."""

BODY_S = 20.0
"""A body that takes longer comes from nobody who means it."""

PICTURE_S = 60.0
"""A photograph may come from a phone at the far end of the workshop's network."""


class Bound(msgspec.Struct, frozen=True):
    """What a body may have: bytes, and seconds to come in."""

    most_bytes: int = MOST_BYTES
    within_s: float = BODY_S

    @property
    def too_large(self) -> HTTPException:
        """The refusal of a larger one."""
        detail = f"The body of this request may have at most {self.most_bytes} bytes."
        return HTTPException(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, detail)

    @property
    def too_slow(self) -> HTTPException:
        """The refusal of a slower one."""
        detail = f"The body of the request did not come within {self.within_s:.0f} s."
        return HTTPException(HTTPStatus.REQUEST_TIMEOUT, detail)


USUAL = Bound()

OTHERS = ((re.compile(r"/api/lots/[^/]+/photographs"), Bound(pictures.MOST_BYTES, PICTURE_S)),)
"""Paths whose bodies are no documents."""


def bound_of(path: str) -> Bound:
    """Return the bound of the bodies that come to a path."""
    return next((bound for pattern, bound in OTHERS if pattern.fullmatch(path)), USUAL)


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
            return
        bound = bound_of(scope["path"])
        if _told_length(scope) > bound.most_bytes:
            error = bound.too_large
            await problem(error.status_code, error.detail)(scope, receive, send)
        else:
            await self._app(scope, _Bounded(receive, bound).receive, send)


class _Bounded:
    """Receives for one request."""

    def __init__(self, receive: Receive, bound: Bound) -> None:
        self._receive = receive
        self._bound = bound
        self._until_s = asyncio.get_running_loop().time() + bound.within_s
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
            raise self._bound.too_slow from None
        self._bytes += len(message.get("body", b""))
        if self._bytes > self._bound.most_bytes:
            raise self._bound.too_large
        self._complete = not message.get("more_body", False)
        return message


def _told_length(scope: Scope) -> int:
    """Return the content-length of a request, 0 where it says none that can be understood."""
    for name, value in scope["headers"]:
        if name == b"content-length" and value.isdigit():
            return int(value)
    return 0
