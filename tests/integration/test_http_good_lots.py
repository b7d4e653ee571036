"""The maker's verdict on a lot and the band of good lots, over HTTP and a real workshop."""

from collections.abc import AsyncIterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from workshop_at_hand import BENCH, JUG, RECIPE, AtHand, at_hand, config, problem

from collector.lot_events import LotOpened
from collector.readings import Role
from collector.replay import derived_of, first_difference, replay
from collector.store.verify import verify

STEPS = ("draw wax", "add fragrance", "stir", "pour")
STEP_S = 30


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


async def jug(hand: AtHand, seconds: int, celsius: float) -> None:
    """Let the jug's probe show a temperature for some seconds."""
    for _ in range(seconds):
        hand.clock.pass_s(1)
        await hand.said(JUG, Role.PITCHER, round(celsius * 1000))


async def work(hand: AtHand, celsius: float) -> str:
    """Work a lot by marks alone, each step half a minute and as long to the next; close it."""
    lot = await hand.open_lot()
    for step in STEPS:
        for edge in ("begin", "end"):
            assert (await hand.mark(lot, step, edge)).status_code == 201
            await jug(hand, STEP_S, celsius)
    assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    hand.clock.pass_s(60)
    return lot


async def judge(hand: AtHand, lot: str, *, good: bool, note: str = "") -> dict[str, Any]:
    answer = await hand.http.post(f"/api/lots/{lot}/verdict", json={"good": good, "note": note})
    assert answer.status_code == 200, answer.text
    verdict: dict[str, Any] = answer.json()
    return verdict


async def good_lots(hand: AtHand, number: int) -> list[str]:
    lots = [await work(hand, 62.0) for _ in range(number)]
    for lot in lots:
        await judge(hand, lot, good=True)
    return lots


@pytest.mark.asyncio
async def test_a_lot_is_judged_once_it_is_closed_and_the_last_word_counts(hand: AtHand) -> None:
    lot = await hand.open_lot()
    early = await hand.http.post(f"/api/lots/{lot}/verdict", json={"good": True})
    assert "close it before you say how it came out" in problem(early, 409)["detail"]
    await hand.http.post(f"/api/lots/{lot}/close")
    assert (await hand.got(f"/api/lots/{lot}"))["verdict"] is None
    await judge(hand, lot, good=True)
    hand.clock.pass_s(3600)
    last = await judge(hand, lot, good=False, note="frosted after a week")
    assert (last["good"], last["note"]) == (False, "frosted after a week")
    assert (await hand.got(f"/api/lots/{lot}"))["verdict"] == last


@pytest.mark.asyncio
async def test_a_lot_can_be_judged_while_the_next_one_is_open(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await hand.http.post(f"/api/lots/{lot}/close")
    following = await hand.open_lot()
    await judge(hand, lot, good=True)
    assert (await hand.got(f"/api/lots/{following}"))["state"] == "open"


@pytest.mark.asyncio
async def test_a_lot_that_is_not_there_has_neither_verdict_nor_band(hand: AtHand) -> None:
    problem(await hand.http.post("/api/lots/2020-01-01-1/verdict", json={"good": True}), 404)
    problem(await hand.http.get("/api/lots/2020-01-01-1/band"), 404)


@pytest.mark.asyncio
async def test_a_closed_lot_without_a_band_is_held_against_the_others(hand: AtHand) -> None:
    first, second, third = await good_lots(hand, 3)
    # without itself two are left
    missing = problem(await hand.http.get(f"/api/lots/{first}/band"), 404)
    assert "3 lots of 'Grey heron, 120 g'" in missing["detail"]
    bad = await work(hand, 62.0)  # this one was opened with the band of the three
    assert (await hand.got(f"/api/lots/{bad}/band"))["lots"] == [third, second, first]
    await judge(hand, bad, good=True)
    assert (await hand.got(f"/api/lots/{first}/band"))["lots"] == [bad, third, second]
    await judge(hand, bad, good=False)
    problem(await hand.http.get(f"/api/lots/{first}/band"), 404)


@pytest.mark.asyncio
async def test_a_lot_that_leaves_the_band_is_told_and_replays_the_same(hand: AtHand) -> None:
    await good_lots(hand, 3)
    lot = await hand.open_lot()
    for step in STEPS[:2]:
        for edge in ("begin", "end"):
            await hand.mark(lot, step, edge)
            await jug(hand, 5, 62.0)
    await jug(hand, STEP_S - 5, 59.6)
    found = [a for a in await hand.got("/api/alarms?state=active") if a["rule"] == "off-band"]
    (alarm,) = found
    assert alarm["priority"] == "low"
    assert alarm["message"] == "The wax is 1.4 °C under what good lots had at this moment."
    assert alarm["limit"] == {"low": 61.0, "high": 63.0}
    shown = await hand.got(f"/api/lots/{lot}/band")
    assert [stretch["anchor"] for stretch in shown["stretches"]] == ["wax drawn", "fragrance added"]
    (added,) = [s for s in shown["stretches"] if s["anchor"] == "fragrance added"]
    assert set(zip(added["low"], added["high"], strict=True)) == {(61.0, 63.0)}
    ended = (await hand.got(f"/api/lots/{lot}"))["phases"][-1]["ended"]
    assert added["t"][0] == pytest.approx(datetime.fromisoformat(ended).timestamp(), abs=0.001)
    material = hand.workshop.history.material(lot)
    assert isinstance(material.events[0], LotOpened)
    assert material.events[0].band is not None
    _bench, derived = replay(material.events, material.readings())
    assert first_difference(derived_of(material.events), derived) is None


@pytest.mark.asyncio
async def test_the_band_is_of_the_recipe_by_its_name(hand: AtHand) -> None:
    await good_lots(hand, 3)
    other = {**RECIPE, "name": "Grey heron, another jar"}
    assert (await hand.http.post("/api/recipes", json=other)).status_code == 201
    body = {"recipe": other["name"], "vessels": 1, "bench": BENCH}
    lot = (await hand.http.post("/api/lots", json=body)).json()["id"]
    problem(await hand.http.get(f"/api/lots/{lot}/band"), 404)
