"""Connections on which no request comes to its end, against the real server."""

import asyncio
from collections.abc import AsyncIterator
from pathlib import Path

import httpx
import pytest
import pytest_asyncio
from event_stream_client import served
from workshop_at_hand import at_hand, config

from api import server

SOON_S = 0.4


@pytest_asyncio.fixture
async def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[str]:
    monkeypatch.setattr(server, "HEADERS_S", SOON_S)
    async with at_hand(config(tmp_path)) as hand, served(hand) as base:
        yield base


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "begun",
    [
        b"",
        b"GET /api/workshop HTTP/1.1\r\nHost: 127.0.0.1\r\n",
        # one that is answered, and the beginning of another on the same connection
        b"GET /api/workshop HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\nGET /api/lots HT",
    ],
)
async def test_headers_that_do_not_come_are_not_waited_for(base: str, begun: bytes) -> None:
    url = httpx.URL(base)
    reader, writer = await asyncio.open_connection(url.host, url.port)
    writer.write(begun)
    loop = asyncio.get_running_loop()
    began_s = loop.time()
    answer = await asyncio.wait_for(reader.read(), 10)  # until the server hangs up
    assert loop.time() - began_s > SOON_S / 2
    assert answer.count(b"200 OK") == begun.count(b"\r\n\r\n")
    writer.close()
    await writer.wait_closed()


@pytest.mark.asyncio
async def test_a_stream_goes_on_and_a_connection_serves_several_requests(base: str) -> None:
    async with httpx.AsyncClient(base_url=base, trust_env=False) as http:
        async with http.stream("GET", "/api/live") as answer:
            loop = asyncio.get_running_loop()
            began_s, beats = loop.time(), 0
            async for line in answer.aiter_lines():
                beats += line == "event: beat"
                if beats == 2:
                    break
            assert loop.time() - began_s > 2 * SOON_S
        for _ in range(3):
            assert (await http.get("/api/workshop")).status_code == 200
            await asyncio.sleep(SOON_S / 2)
