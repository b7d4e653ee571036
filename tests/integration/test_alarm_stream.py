"""What a screen hears of alarms whose shelving ends, or that are part of another at once."""

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest
from event_stream_client import Message, collect, named, served
from workshop_at_hand import (
    BENCH,
    JUG,
    POT,
    S_US,
    SCALE,
    AtHand,
    at_hand,
    config,
    instrument,
    until,
)

from collector.instrument_config import InstrumentConfig, SerialScale
from collector.readings import Role

Screen = asyncio.Task[list[Message]]


def beat_after_the_close(came: list[Message]) -> bool:
    return came[-1].name == "beat" and len(named(came, "lot")) == 1


async def listening(hand: AtHand, base: str, enough: Callable[[list[Message]], bool]) -> Screen:
    task = asyncio.create_task(collect(base, enough))
    await until(lambda: hand.workshop.pipeline.live.screens == 1)
    await asyncio.sleep(0.05)  # its place in the journal is read meanwhile
    return task


def states(came: list[Message]) -> list[tuple[str, str]]:
    return [(m.data["rule"], m.data["state"]) for m in named(came, "alarm")]


@pytest.mark.asyncio
async def test_a_shelved_alarm_comes_back_to_the_screens_by_itself(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand, served(hand) as base:
        alarm = await hand.alarm(await hand.open_lot())
        screen = await listening(hand, base, lambda came: len(named(came, "alarm")) == 2)
        await hand.http.post(
            f"/api/alarms/{alarm['id']}/shelve", json={"minutes": 5, "reason": "phone"}
        )
        hand.clock.pass_s(299)
        await asyncio.sleep(0.3)  # the screens are told ten times a second
        assert not screen.done()
        hand.clock.pass_s(2)
        assert states(await screen) == [("phase-order", "shelved"), ("phase-order", "active")]


@pytest.mark.asyncio
async def test_a_rule_taken_out_is_told_with_every_alarm_that_stands_of_it(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand, served(hand) as base:
        await hand.open_lot()
        for name, role in ((POT, Role.POT), (JUG, Role.PITCHER)):
            hand.clock.pass_s(1)
            await hand.said(name, role, 95_000)
        await hand.workshop.pipeline.write_now()
        screen = await listening(hand, base, lambda came: len(named(came, "alarm")) == 2)
        body = {"rule": "over-temperature", "reason": "boiling out the pot"}
        await hand.http.post(f"/api/benches/{BENCH}/out-of-service", json=body)
        told = named(await screen, "alarm")
        assert [m.data["subject"] for m in told] == [POT, JUG]
        assert {m.data["state"] for m in told} == {"out of service"}


@pytest.mark.asyncio
async def test_what_is_part_of_another_alarm_at_once_is_never_told_as_active(
    tmp_path: Path,
) -> None:
    nowhere = SerialScale(str(tmp_path / "nowhere"))
    scale = InstrumentConfig(SCALE, BENCH, Role.SCALE, nowhere, 10 * S_US)
    settings = config(tmp_path, instruments=(scale, instrument(POT, BENCH, Role.POT)))
    async with at_hand(settings) as hand, served(hand) as base:
        lot = await hand.open_lot()
        hand.clock.pass_s(60)
        await until(lambda: len(hand.workshop.pipeline.ledger.alarms) > 0)
        await hand.workshop.pipeline.write_now()
        screen = await listening(hand, base, beat_after_the_close)
        await hand.http.post(f"/api/lots/{lot}/close")
        told = states(await screen)
        assert ("skipped-phase", "ended") in told
        assert ("skipped-phase", "active") not in told
        shown = await hand.got(f"/api/lots/{lot}")
        assert [deviation["rule"] for deviation in shown["deviations"]] == ["instrument-silent"]
