"""Photographs of a lot, over HTTP and a real workshop."""

import asyncio
from collections.abc import AsyncIterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import httpx
import pytest
import pytest_asyncio
from event_stream_client import served
from made_pictures import heavy_png, jpeg_head, png
from workshop_at_hand import AtHand, at_hand, config, problem

from api.command_line.lots import lot_lines, show
from api.routers.photographs import MOST_SHOWN
from collector.pictures import MOST_BYTES
from collector.store.influx.points import Lines
from collector.store.verify import verify


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


async def send(hand: AtHand, lot: str, body: bytes, caption: str = "") -> httpx.Response:
    params = {"caption": caption} if caption else {}
    return await hand.http.post(f"/api/lots/{lot}/photographs", content=body, params=params)


async def keep(hand: AtHand, lot: str, body: bytes, caption: str = "") -> dict[str, Any]:
    answer = await send(hand, lot, body, caption)
    assert answer.status_code == 201, answer.text
    shown: dict[str, Any] = answer.json()
    return shown


async def take_back(hand: AtHand, lot: str, name: str) -> httpx.Response:
    path = f"/api/lots/{lot}/photographs/{name}/remove"
    return await hand.http.post(path, json={"reason": "a face in it"})


def limit_pages(hand: AtHand, pages: int) -> None:
    store = hand.workshop._store
    execute = store._ledger.connection.execute
    store._thread.submit(execute, f"PRAGMA max_page_count = {pages}").result()


@pytest.mark.asyncio
async def test_a_photograph_is_in_the_record_and_comes_back_byte_for_byte(hand: AtHand) -> None:
    lot = await hand.open_lot()
    body = png(64, 48)
    kept = await keep(hand, lot, body, "  Vessel 3, a sinkhole ")
    assert kept == {
        "id": "p1",
        "at": kept["at"],
        "caption": "Vessel 3, a sinkhole",
        "media_type": "image/png",
        "width": 64,
        "height": 48,
        "bytes": len(body),
        "sha256": sha256(body).hexdigest(),
        "removed": None,
    }
    assert (await hand.got(f"/api/lots/{lot}"))["photographs"] == [kept]
    answer = await hand.http.get(f"/api/lots/{lot}/photographs/p1")
    assert (answer.status_code, answer.content) == (200, body)


@pytest.mark.asyncio
async def test_its_bytes_are_served_so_that_nothing_in_them_can_run(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await hand.http.post(
        f"/api/lots/{lot}/photographs",
        content=jpeg_head(8, 6) + b"<script>alert(1)</script>",
        headers={"content-type": "text/html"},
    )
    path = f"/api/lots/{lot}/photographs/p1"
    for answer in (await hand.http.get(path), await hand.http.head(path)):
        head = answer.headers
        assert head["content-type"] == "image/jpeg"
        assert head["x-content-type-options"] == "nosniff"
        assert head["content-disposition"] == f'inline; filename="{lot}-p1.jpg"'
        assert head["cache-control"] == "private, max-age=31536000, immutable"
        assert head["cross-origin-resource-policy"] == "same-origin"
        policy = head["content-security-policy"]
        assert policy == "default-src 'none'; sandbox; frame-ancestors 'none'"
    assert (await hand.http.head(path)).content == b""
    assert int((await hand.http.head(path)).headers["content-length"]) > 0


@pytest.mark.asyncio
async def test_a_closed_lot_takes_photographs_too(hand: AtHand) -> None:
    lot = await hand.open_lot()
    assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    hand.clock.pass_s(86_400)
    assert (await keep(hand, lot, png()))["at"].startswith("2026-11-26T")


@pytest.mark.asyncio
@pytest.mark.parametrize("body", [b"", b"eggs, flour, wicks", b"GIF89a" + bytes(20)])
async def test_what_is_no_picture_is_refused_whatever_it_is_called(
    hand: AtHand, body: bytes
) -> None:
    lot = await hand.open_lot()
    headers = {"content-type": "image/jpeg"}
    path = f"/api/lots/{lot}/photographs?caption=pour.jpg"
    answer = await hand.http.post(path, content=body, headers=headers)
    assert "JPEG, PNG or WebP" in problem(answer, 415)["detail"]
    assert (await hand.got(f"/api/lots/{lot}"))["photographs"] == []


@pytest.mark.asyncio
async def test_one_that_is_too_large_is_refused_on_a_real_connection(hand: AtHand) -> None:
    lot = await hand.open_lot()
    async with (
        served(hand) as base,
        httpx.AsyncClient(base_url=base, trust_env=False) as http,
    ):
        path = f"/api/lots/{lot}/photographs"
        fits = await http.post(path, content=heavy_png(MOST_BYTES))
        assert fits.status_code == 201, fits.text
        refused = await http.post(path, content=heavy_png(MOST_BYTES + 1))
        assert f"at most {MOST_BYTES} bytes" in problem(refused, 413)["detail"]
    assert len((await hand.got(f"/api/lots/{lot}"))["photographs"]) == 1


@pytest.mark.asyncio
async def test_what_is_not_there_is_said_in_words(hand: AtHand) -> None:
    lot = await hand.open_lot()
    assert "no lot 'nowhere'" in problem(await send(hand, "nowhere", png()), 404)["detail"]
    path = f"/api/lots/{lot}/photographs/p1"
    assert "no photograph 'p1'" in problem(await hand.http.get(path), 404)["detail"]
    assert "has no photograph 'p1'" in problem(await take_back(hand, lot, "p1"), 404)["detail"]
    problem(await send(hand, lot, png(), "x" * 301), 422)


@pytest.mark.asyncio
async def test_one_taken_back_is_gone_and_the_record_says_that_it_was_there(
    hand: AtHand,
) -> None:
    lot = await hand.open_lot()
    await keep(hand, lot, png(), "me at the pot")
    assert (await take_back(hand, lot, "p1")).status_code == 200
    (shown,) = (await hand.got(f"/api/lots/{lot}"))["photographs"]
    assert (shown["caption"], shown["removed"]["reason"]) == ("me at the pot", "a face in it")
    gone = problem(await hand.http.get(f"/api/lots/{lot}/photographs/p1"), 404)["detail"]
    assert "its bytes are gone: a face in it" in gone
    again = problem(await take_back(hand, lot, "p1"), 409)["detail"]
    assert "was taken back already" in again
    assert (await keep(hand, lot, png()))["id"] == "p2"  # the same picture, once more


@pytest.mark.asyncio
async def test_the_same_picture_sent_again_is_one_photograph(hand: AtHand) -> None:
    lot = await hand.open_lot()
    first = await keep(hand, lot, png(), "the tray")
    again = await send(hand, lot, png(), "sent once more, the answer was lost")
    assert (again.status_code, again.json()) == (200, first)


@pytest.mark.asyncio
async def test_a_picture_of_two_lots_stays_until_both_took_it_back(hand: AtHand) -> None:
    first = await hand.open_lot()
    await hand.http.post(f"/api/lots/{first}/close")
    second = await hand.open_lot()
    for lot in (first, second):
        await keep(hand, lot, png())
    assert (await take_back(hand, first, "p1")).status_code == 200
    assert (await hand.http.get(f"/api/lots/{second}/photographs/p1")).content == png()
    assert verify(hand.workshop.config.data) == []
    assert (await take_back(hand, second, "p1")).status_code == 200


@pytest.mark.asyncio
async def test_two_people_at_once_keep_a_photograph_each(hand: AtHand) -> None:
    lot = await hand.open_lot()
    bodies = [png(shade=shade) for shade in range(6)]
    kept = await asyncio.gather(*(keep(hand, lot, body) for body in bodies))
    assert sorted(one["id"] for one in kept) == [f"p{n}" for n in range(1, 7)]
    for one, body in zip(kept, bodies, strict=True):
        path = f"/api/lots/{lot}/photographs/{one['id']}"
        assert (await hand.http.get(path)).content == body


@pytest.mark.asyncio
async def test_a_lot_has_a_bound_and_one_taken_back_makes_room(hand: AtHand) -> None:
    lot = await hand.open_lot()
    for shade in range(MOST_SHOWN):
        await keep(hand, lot, png(8, 8, shade))
    full = problem(await send(hand, lot, png(9, 9)), 409)["detail"]
    assert f"shows {MOST_SHOWN} photographs" in full
    assert (await take_back(hand, lot, "p1")).status_code == 200
    assert (await keep(hand, lot, png(9, 9)))["id"] == f"p{MOST_SHOWN + 1}"


@pytest.mark.asyncio
async def test_all_is_there_after_a_restart(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand:
        lot = await hand.open_lot()
        kept = await keep(hand, lot, png(), "before the stop")
        note = await hand.http.post(f"/api/lots/{lot}/notes", json={"text": "so far so good"})
        clock = hand.clock
    clock.pass_s(60)
    async with at_hand(config(tmp_path), clock) as hand:
        shown = await hand.got(f"/api/lots/{lot}")
        assert (shown["photographs"], shown["notes"]) == ([kept], [note.json()])
        assert (await hand.http.get(f"/api/lots/{lot}/photographs/p1")).content == png()
    assert verify(tmp_path) == []


@pytest.mark.asyncio
async def test_a_full_disk_refuses_a_photograph_whole_and_still_takes_a_note(
    hand: AtHand,
) -> None:
    lot = await hand.open_lot()
    limit_pages(hand, 1)  # SQLite takes the present size where that is more
    refused = problem(await send(hand, lot, heavy_png(2_000_000)), 503)["detail"]
    assert "the disk is full" in refused
    assert "Free some space" in refused
    assert "do not repeat" not in refused
    assert hand.workshop.pipeline.trouble is None  # nothing waits: readings go on as before
    assert hand.workshop.batch.unwritten == ()
    note = await hand.http.post(f"/api/lots/{lot}/notes", json={"text": "no room"})
    assert note.status_code == 201
    assert verify(hand.workshop.config.data) == []
    limit_pages(hand, 1_000_000)
    assert (await keep(hand, lot, heavy_png(2_000_000)))["id"] == "p1"


@pytest.mark.asyncio
async def test_what_is_sent_elsewhere_tells_of_a_photograph_without_its_bytes(
    hand: AtHand,
) -> None:
    lot = await hand.open_lot()
    await keep(hand, lot, heavy_png(500_000), "the tray")
    (*_, last) = hand.workshop.history.events(lot)
    line = Lines({}).event(last)
    assert sha256(heavy_png(500_000)).hexdigest() in line
    assert len(line) < 1000


@pytest.mark.asyncio
async def test_the_command_tells_of_notes_and_photographs_in_order(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await keep(hand, lot, png(), "the tray")
    hand.clock.pass_s(60)
    await hand.http.post(f"/api/lots/{lot}/notes", json={"text": "one wick leans"})
    hand.clock.pass_s(60)
    await take_back(hand, lot, "p1")
    shown = await asyncio.to_thread(show, hand.workshop.config.data, lot)
    photograph, note = lot_lines(shown)[-2:]
    assert photograph.startswith("Photograph of 2026-11-25 09:46:40: the tray (taken back 2026")
    assert photograph.endswith(": a face in it)")
    assert note == "Note of 2026-11-25 09:47:40: one wick leans"
