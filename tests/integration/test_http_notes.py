"""Notes about a lot, over HTTP and a real workshop."""

import asyncio
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from event_stream_client import Message, collect, named, served
from made_pictures import png
from workshop_at_hand import AtHand, at_hand, config, problem, until

from collector.lot_events import LotOpened
from collector.note_events import NoteTakenBack, NoteWritten
from collector.replay import derived_of, first_difference, replay, under
from collector.store.verify import verify


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


async def write(hand: AtHand, lot: str, text: str) -> dict[str, object]:
    answer = await hand.http.post(f"/api/lots/{lot}/notes", json={"text": text})
    assert answer.status_code == 201, answer.text
    written: dict[str, object] = answer.json()
    return written


@pytest.mark.asyncio
async def test_a_note_is_in_the_record_of_an_open_lot_and_of_a_closed_one(hand: AtHand) -> None:
    lot = await hand.open_lot()
    first = await write(hand, lot, "  Wick 3 leans.\nStraightened.  ")
    assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    hand.clock.pass_s(86_400)
    second = await write(hand, lot, "Frost at the rim after a day: Łódź wax, 2 °C draught")
    shown = (await hand.got(f"/api/lots/{lot}"))["notes"]
    assert shown == [first, second]
    assert (first["id"], first["text"]) == ("n1", "Wick 3 leans.\nStraightened.")
    assert first["removed"] is None
    assert str(second["at"]).startswith("2026-11-26T")


@pytest.mark.asyncio
async def test_a_note_taken_back_stays_readable_with_the_reason(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await write(hand, lot, "meant for lot 2")
    reason = {"reason": "the other lot"}
    back = await hand.http.post(f"/api/lots/{lot}/notes/n1/remove", json=reason)
    assert back.status_code == 200, back.text
    (shown,) = (await hand.got(f"/api/lots/{lot}"))["notes"]
    assert (shown["text"], shown["removed"]["reason"]) == ("meant for lot 2", "the other lot")
    again = await hand.http.post(f"/api/lots/{lot}/notes/n1/remove", json=reason)
    assert "was taken back already" in problem(again, 409)["detail"]
    written, taken = (stored.event for stored in hand.workshop.history.events(lot)[-2:])
    assert isinstance(written, NoteWritten)
    assert isinstance(taken, NoteTakenBack)


@pytest.mark.asyncio
async def test_two_people_at_once_get_a_note_each(hand: AtHand) -> None:
    lot = await hand.open_lot()
    written = await asyncio.gather(*(write(hand, lot, f"note {n}") for n in range(8)))
    assert sorted(str(one["id"]) for one in written) == [f"n{n}" for n in range(1, 9)]
    shown = (await hand.got(f"/api/lots/{lot}"))["notes"]
    assert [one["id"] for one in shown] == [f"n{n}" for n in range(1, 9)]
    assert [one["at"] for one in shown] == sorted(one["at"] for one in shown)


@pytest.mark.asyncio
@pytest.mark.parametrize("text", ["", "   \n ", "x" * 2001])
async def test_a_note_without_words_or_with_too_many_is_refused(hand: AtHand, text: str) -> None:
    lot = await hand.open_lot()
    answer = await hand.http.post(f"/api/lots/{lot}/notes", json={"text": text})
    assert "body.text" in problem(answer, 422)["detail"]
    assert (await hand.got(f"/api/lots/{lot}"))["notes"] == []


@pytest.mark.asyncio
async def test_what_is_not_there_is_said_in_words(hand: AtHand) -> None:
    lot = await hand.open_lot()
    nowhere = await hand.http.post("/api/lots/2020-01-01-1/notes", json={"text": "x"})
    assert "no lot '2020-01-01-1'" in problem(nowhere, 404)["detail"]
    missing = await hand.http.post(f"/api/lots/{lot}/notes/n4/remove", json={"reason": "x"})
    assert "has no note 'n4'" in problem(missing, 404)["detail"]
    unsaid = await hand.http.post(f"/api/lots/{lot}/notes/n4/remove", json={"reason": " "})
    problem(unsaid, 422)


@pytest.mark.asyncio
async def test_the_stream_tells_that_the_lot_changed(hand: AtHand) -> None:
    lot = await hand.open_lot()

    def enough(came: list[Message]) -> bool:
        return len(named(came, "lot")) == 2

    async with served(hand) as base:
        two = [asyncio.create_task(collect(base, enough)) for _ in range(2)]
        await until(lambda: hand.workshop.pipeline.live.screens == 2)
        await write(hand, lot, "seen by both")
        back = await hand.http.post(f"/api/lots/{lot}/notes/n1/remove", json={"reason": "x"})
        assert back.status_code == 200
        for came in await asyncio.gather(*two):
            assert {message.data["id"] for message in named(came, "lot")} == {lot}


@pytest.mark.asyncio
async def test_a_lot_with_notes_and_photographs_is_judged_again_to_the_same_words(
    hand: AtHand,
) -> None:
    lot = await hand.open_lot()
    await write(hand, lot, "before")
    await hand.alarm(lot)
    hand.clock.pass_s(1)
    assert (await hand.http.post(f"/api/lots/{lot}/photographs", content=png())).status_code == 201
    hand.clock.pass_s(1)
    assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    hand.clock.pass_s(60)
    await write(hand, lot, "after")
    material = hand.workshop.history.material(lot)
    kept = derived_of(material.events)
    assert len(kept) > 2
    _bench, derived = replay(material.events, material.readings())
    assert first_difference(kept, derived) is None
    assert isinstance(material.events[0], LotOpened)
    other = under(material.events, material.events[0].recipe)
    _bench, again = replay(other, material.readings())
    assert first_difference(kept, again) is None
