"""A screen of the test's own: it reads server-sent events as the WHATWG HTML standard says."""

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any, NamedTuple

import httpx
from workshop_at_hand import PATIENCE_S, AtHand

from api.server import address, listen, make_server


class Message(NamedTuple):
    """One event of the stream."""

    id: str
    name: str
    data: dict[str, Any]


@asynccontextmanager
async def served(hand: AtHand, send_buffer: int | None = None) -> AsyncIterator[str]:
    """Serve the workshop on a port of this machine, and give its address."""
    sock = listen("127.0.0.1", 0)
    if send_buffer is not None:
        sock.setsockopt(*SEND_BUFFER, send_buffer)
    with sock:
        server = make_server(hand.workshop)
        serving = asyncio.create_task(server.serve(sockets=[sock]))
        try:
            yield address(sock).rstrip("/")
        finally:
            server.stop()
            await serving


SEND_BUFFER = (1, 7)  # SOL_SOCKET, SO_SNDBUF on Linux; accepted sockets inherit it


async def messages(answer: httpx.Response) -> AsyncIterator[Message]:
    """Give the events of a stream as they come."""
    fields: dict[str, str] = {}
    async for line in answer.aiter_lines():
        if line:
            name, _, value = line.partition(": ")
            fields[name] = value
        elif "event" in fields:
            yield Message(fields["id"], fields["event"], json.loads(fields["data"]))
            fields = {}


async def collect(
    base: str,
    enough: Callable[[list[Message]], bool],
    last_id: str | None = None,
    after: str | None = None,
) -> list[Message]:
    """Open the stream, and return what came once that is enough.

    `last_id` goes into the header, `after` into the address.
    """
    headers = {} if last_id is None else {"Last-Event-ID": last_id}
    params = {} if after is None else {"after": after}
    came: list[Message] = []
    async with (
        asyncio.timeout(PATIENCE_S),
        httpx.AsyncClient(timeout=PATIENCE_S) as client,
        client.stream("GET", f"{base}/api/live", headers=headers, params=params) as answer,
    ):
        assert answer.status_code == 200
        assert answer.headers["content-type"].startswith("text/event-stream")
        async for message in messages(answer):
            came.append(message)
            if enough(came):
                return came
    raise AssertionError(f"the stream ended early: {came[-5:]}")


def named(came: list[Message], *names: str) -> list[Message]:
    """Return the messages of some kinds."""
    return [message for message in came if message.name in names]
