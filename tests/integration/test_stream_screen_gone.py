"""A screen that goes away in the middle of many messages is noticed before the next of them."""

import asyncio
import logging
import socket
import struct
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from event_stream_client import served
from workshop_at_hand import BENCH, at_hand, config, until

AT_ONCE = struct.pack("ii", 1, 0)
"""SO_LINGER: the connection is reset, as by a telephone that leaves the network's reach."""

BURST = 30
"""Messages at once: more than the five after which the event loop complains."""


@pytest.mark.asyncio
async def test_nothing_is_written_on_to_a_screen_that_is_gone(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.WARNING, "asyncio")
    async with at_hand(config(tmp_path)) as hand, served(hand) as base:
        live = hand.workshop.pipeline.live
        screen = await asyncio.to_thread(looked_on, base)
        await until(lambda: live.screens == 1)
        await asyncio.sleep(0.2)
        screen.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, AT_ONCE)
        screen.close()
        for _ in range(BURST):
            live.tell(hand.workshop.pipeline.status(BENCH))
        await until(lambda: live.screens == 0)
    assert [record.message for record in caplog.records if record.name == "asyncio"] == []


def looked_on(base: str) -> socket.socket:
    """Open the stream, and read its first bytes."""
    where = urlsplit(base)
    assert where.hostname is not None
    screen = socket.create_connection((where.hostname, where.port or 80), timeout=10)
    screen.sendall(b"GET /api/live HTTP/1.1\r\nHost: " + where.netloc.encode() + b"\r\n\r\n")
    assert b"200 OK" in screen.recv(4096)
    return screen
