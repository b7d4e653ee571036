"""Bodies that are too large, on a real connection."""

import json
from collections.abc import AsyncIterator
from pathlib import Path

import httpx
import pytest
from event_stream_client import served
from workshop_at_hand import RECIPE, at_hand, config, problem

LARGE = json.dumps({**RECIPE, "name": "x" * 1_100_000}).encode()


async def in_chunks() -> AsyncIterator[bytes]:
    """Give the body in pieces, so that the request tells no length."""
    for start in range(0, len(LARGE), 50_000):
        yield LARGE[start : start + 50_000]


@pytest.mark.asyncio
async def test_a_body_that_is_too_large_is_refused_and_the_service_goes_on(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand, served(hand) as base:
        headers = {"content-type": "application/json"}
        async with httpx.AsyncClient(base_url=base, headers=headers, trust_env=False) as http:
            for body in (LARGE, in_chunks()):
                refused = await http.post("/api/recipes", content=body)
                assert "1000000 bytes" in problem(refused, 413)["detail"]
            assert (await http.post("/api/recipes", json=RECIPE)).status_code == 201
            assert [one["name"] for one in (await http.get("/api/recipes")).json()] == [
                RECIPE["name"]
            ]
