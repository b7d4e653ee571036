"""A mark that was made by mistake, taken back over HTTP. Problem documents by RFC 9457."""

import logging
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import httpx
import pytest
import pytest_asyncio
from event_stream_client import collect, named, served
from workshop_at_hand import BENCH, JUG, SCALE, AtHand, HandClock, at_hand, config, problem, until

from collector.readings import Role
from collector.replay import derived_of, first_difference, replay
from collector.store.verify import verify


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


async def undo(hand: AtHand, lot: str, at: str | None = None) -> httpx.Response:
    """Take a mark back a second later, the latest or the one of a time."""
    hand.clock.pass_s(1)
    body = None if at is None else {"at": at}
    return await hand.http.post(f"/api/lots/{lot}/marks/undo", json=body)


async def bench(hand: AtHand) -> dict[str, Any]:
    shown: dict[str, Any] = await hand.got(f"/api/benches/{BENCH}")
    return shown


async def stirring(hand: AtHand) -> str:
    """Return a lot that is being stirred since 09:46:41."""
    lot = await hand.open_lot()
    assert (await hand.mark(lot, "stir", "begin")).status_code == 201
    return lot


@pytest.mark.asyncio
async def test_a_stir_ended_by_mistake_goes_on_from_its_own_beginning(hand: AtHand) -> None:
    lot = await stirring(hand)
    hand.clock.pass_s(10)
    before = await bench(hand)
    await hand.mark(lot, "stir", "end")
    undone = await undo(hand, lot)
    assert (undone.status_code, undone.json()) == (
        200,
        {
            "phase": "stir",
            "edge": "end",
            "at": "2026-11-25T09:46:52.000Z",
            "withdrawn_at": "2026-11-25T09:46:53.000Z",
        },
    )
    after = await bench(hand)
    for what in ("phase", "phase_began", "phase_until", "next_mark", "undo"):
        assert after[what] == before[what]
    shown = await hand.got(f"/api/lots/{lot}")
    (stir,) = shown["phases"]
    assert (stir["began"], stir["ended"]) == ("2026-11-25T09:46:41.000Z", None)
    assert [(m["edge"], m["withdrawn_at"]) for m in shown["marks"]] == [
        ("begin", None),
        ("end", "2026-11-25T09:46:53.000Z"),
    ]


@pytest.mark.asyncio
async def test_a_phase_begun_by_mistake_leaves_the_bench_as_it_was(hand: AtHand) -> None:
    lot = await hand.open_lot()
    before = await bench(hand)
    await hand.mark(lot, "stir", "begin")  # before there is any wax
    (alarm,) = await hand.got("/api/alarms?state=active")
    assert (await bench(hand))["undo"] == {
        "phase": "stir",
        "edge": "begin",
        "at": "2026-11-25T09:46:41.000Z",
        "until": "2026-11-25T09:51:41.000Z",
    }
    assert (await undo(hand, lot)).status_code == 200
    after = await bench(hand)
    assert {**after, "at": None} == {**before, "at": None}
    shown = await hand.got(f"/api/lots/{lot}")
    assert shown["phases"] == []
    (cleared,) = shown["deviations"]
    assert (cleared["id"], cleared["state"]) == (alarm["id"], "cleared")
    assert cleared["outcome"] == "taken back: the mark was made by mistake"


@pytest.mark.asyncio
async def test_a_restart_in_between_takes_nothing_away(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    settings, clock = config(tmp_path), HandClock()
    async with at_hand(settings, clock) as hand:
        lot = await stirring(hand)
        await hand.said(SCALE, Role.SCALE, 310_000)
        await hand.said(JUG, Role.PITCHER, 75_000)
        before = await bench(hand)
        await hand.mark(lot, "stir", "end")
        offered = (await bench(hand))["undo"]
    async with at_hand(settings, clock) as hand:
        assert (await bench(hand))["undo"] == offered
        clock.pass_s(20)
        assert (await undo(hand, lot, offered["at"])).status_code == 200
        after = await bench(hand)
        assert (after["phase"], after["phase_until"]) == ("stir", before["phase_until"])
    async with at_hand(settings, clock) as hand:
        assert (await bench(hand))["phase_until"] == before["phase_until"]
        await hand.said(SCALE, Role.SCALE, 311_000)
        await hand.mark(lot, "stir", "end")
        await hand.http.post(f"/api/lots/{lot}/close")
        history = hand.workshop.history
        events = [stored.event for stored in history.events(lot)]
        readings = history.bench_readings([SCALE, JUG], 0, clock.now_us())
        assert first_difference(derived_of(events), replay(events, readings)[1]) is None
    assert not [said for said in caplog.records if said.levelno >= logging.ERROR]
    assert not [said for said in caplog.records if "events differ" in said.getMessage()]
    assert verify(tmp_path) == []


@pytest.mark.asyncio
async def test_each_press_takes_back_the_mark_that_was_shown(hand: AtHand) -> None:
    lot = await stirring(hand)
    await hand.mark(lot, "stir", "end")
    begin, end = (mark["at"] for mark in (await hand.got(f"/api/lots/{lot}"))["marks"])
    refused = problem(await undo(hand, lot, begin), 409)
    assert refused["detail"] == "A later mark was made: take that one back first."
    assert (await undo(hand, lot, end)).status_code == 200
    again = problem(await undo(hand, lot, end), 409)
    assert again["detail"].startswith("That mark is taken back already")
    assert (await undo(hand, lot, begin)).status_code == 200
    assert (await hand.got(f"/api/lots/{lot}"))["phases"] == []


@pytest.mark.asyncio
async def test_after_five_minutes_a_mark_stays(hand: AtHand) -> None:
    lot = await stirring(hand)
    hand.clock.pass_s(300)
    refused = problem(await undo(hand, lot), 409)
    assert "for 5 minutes" in refused["detail"]
    assert "Mark what is true now" in refused["detail"]
    hand.clock.pass_s(20)  # ticks wait for readings under way, here for 15 s
    status = hand.workshop.pipeline.status
    await until(lambda: status(BENCH).undo is None)
    assert [m["withdrawn_at"] for m in (await hand.got(f"/api/lots/{lot}"))["marks"]] == [None]


@pytest.mark.asyncio
async def test_what_cannot_be_taken_back_is_said(hand: AtHand) -> None:
    lot = await hand.open_lot()
    assert "no mark" in problem(await undo(hand, lot), 409)["detail"]
    assert "no mark of that time" in problem(await undo(hand, lot, "noon"), 404)["detail"]
    problem(await undo(hand, "2020-01-01-1"), 404)
    unknown = await hand.http.post(f"/api/lots/{lot}/marks/undo", json={"mark": 1})
    problem(unknown, 422)


@pytest.mark.asyncio
async def test_a_closed_lot_takes_back_what_was_marked_since(hand: AtHand) -> None:
    lot = await stirring(hand)
    await hand.http.post(f"/api/lots/{lot}/close")
    assert "was closed after that mark" in problem(await undo(hand, lot), 409)["detail"]
    await hand.mark(lot, "cure", "begin")
    trimmed = await hand.mark(lot, "cure", "end")
    assert (await undo(hand, lot, trimmed.json()["at"])).status_code == 200
    marks = (await hand.got(f"/api/lots/{lot}"))["marks"]
    assert [mark["withdrawn_at"] is not None for mark in marks] == [False, False, True]
    hand.clock.pass_s(300)
    assert "stays" in problem(await undo(hand, lot), 409)["detail"]


@pytest.mark.asyncio
async def test_every_screen_is_told(hand: AtHand) -> None:
    lot = await stirring(hand)
    async with served(hand) as base:
        came = await collect(base, lambda came: came[-1].name == "beat")
        (state,) = (m.data for m in named(came, "bench") if m.data["bench"] == BENCH)
        assert state["undo"]["edge"] == "begin"
        last_id = came[-1].id
        await undo(hand, lot)
        missed = await collect(base, lambda came: came[-1].name == "beat", last_id)
    assert [message.data["id"] for message in named(missed, "lot")][-1] == lot
    (state,) = (m.data for m in named(missed, "bench") if m.data["bench"] == BENCH)
    assert state["undo"] is None


@pytest.mark.asyncio
async def test_the_list_of_lots_counts_what_stands_again_once(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await hand.mark(lot, "stir", "begin")
    await undo(hand, lot)
    (entry,) = await hand.got("/api/lots")
    assert entry["deviations"] == len((await hand.got(f"/api/lots/{lot}"))["deviations"])
