"""A calibration reaches every screen that is open, over a real socket."""

import asyncio
from pathlib import Path

import pytest
from event_stream_client import Message, collect, named, served
from test_http_calibrations import ICE, calibrate
from workshop_at_hand import JUG, at_hand, config, until


def of_jug(came: list[Message]) -> list[Message]:
    return [message for message in named(came, "instrument") if message.data["name"] == JUG]


async def screen(base: str) -> asyncio.Task[list[Message]]:
    """Open a screen in the background that looks on until it is told of the jug."""
    seen: list[Message] = []

    def enough(came: list[Message]) -> bool:
        seen[:] = came
        return len(of_jug(came)) > 0

    task = asyncio.create_task(collect(base, enough))
    await until(lambda: len(named(seen, "beat")) > 0)  # from then on it misses nothing
    return task


@pytest.mark.asyncio
async def test_what_is_calibrated_at_one_screen_is_seen_at_the_others(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand, served(hand) as base:
        other = await screen(base)
        await calibrate(hand, JUG, [ICE])
        (made,) = of_jug(await other)
        assert made.data["calibration"]["points"] == [ICE]

        other = await screen(base)
        path = f"/api/instruments/{JUG}/calibrations/withdraw"
        assert (await hand.http.post(path, json={"note": "other probe"})).status_code == 200
        (withdrawn,) = of_jug(await other)
        assert withdrawn.data["calibration"] is None
