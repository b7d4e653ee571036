"""Keeping the readings of a lot for good, over HTTP and a real workshop."""

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from workshop_at_hand import BENCH, JUG, AtHand, at_hand, config, problem

from collector.lot_events import LotKept, LotReleased
from collector.readings import Role
from collector.replay import derived_of, first_difference, replay
from collector.store.verify import verify

pytestmark = pytest.mark.asyncio


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


async def shown(hand: AtHand, lot: str) -> tuple[bool, bool]:
    """Return what the lot and the list of lots say."""
    (entry,) = [entry for entry in await hand.got("/api/lots") if entry["id"] == lot]
    return (await hand.got(f"/api/lots/{lot}"))["kept"], entry["kept"]


async def test_a_lot_is_kept_until_it_is_released(hand: AtHand) -> None:
    lot = await hand.open_lot()
    assert await shown(hand, lot) == (False, False)
    answer = await hand.http.post(f"/api/lots/{lot}/keep", json={"note": "a customer asked"})
    assert answer.status_code == 200
    told = answer.json()
    assert (told["id"], told["kept"], told["note"]) == (lot, True, "a customer asked")
    assert await shown(hand, lot) == (True, True)
    answer = await hand.http.post(f"/api/lots/{lot}/release")
    assert (answer.status_code, answer.json()["kept"]) == (200, False)
    assert await shown(hand, lot) == (False, False)
    events = [stored.event for stored in hand.workshop.history.events(lot)]
    assert [e.note for e in events if isinstance(e, LotKept)] == ["a customer asked"]
    assert [e.bench for e in events if isinstance(e, LotReleased)] == [BENCH]


async def test_a_closed_lot_is_kept_too_and_twice_is_no_mistake(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await hand.http.post(f"/api/lots/{lot}/close")
    for _ in range(2):
        assert (await hand.http.post(f"/api/lots/{lot}/keep", json={})).status_code == 200
    assert await shown(hand, lot) == (True, True)


async def test_a_lot_that_is_not_there_cannot_be_kept(hand: AtHand) -> None:
    for verb in ("keep", "release"):
        problem(await hand.http.post(f"/api/lots/2026-11-25-9/{verb}"), 404)


async def test_a_lot_that_was_kept_while_it_was_open_is_judged_again_alike(hand: AtHand) -> None:
    lot = await hand.open_lot()
    for _ in range(60):
        hand.clock.pass_s(1)
        await hand.said(JUG, Role.PITCHER, 70_000)
    await hand.http.post(f"/api/lots/{lot}/keep")
    for _ in range(60):
        hand.clock.pass_s(1)
        await hand.said(JUG, Role.PITCHER, 69_000)
    await hand.http.post(f"/api/lots/{lot}/close")
    material = hand.workshop.history.material(lot)
    _bench, derived = replay(material.events, material.readings())
    assert first_difference(derived_of(material.events), derived) is None
