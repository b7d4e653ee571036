"""The event stream over a real socket: ids, resuming, and clients that are slow or gone."""

import asyncio
import socket
import threading
from collections.abc import AsyncIterator, Callable
from pathlib import Path

import httpx
import pytest
import pytest_asyncio
from event_stream_client import Message, collect, named, served
from workshop_at_hand import (
    BENCH,
    POT,
    RECIPE,
    S_US,
    SCALE,
    AtHand,
    at_hand,
    config,
    last_us,
    until,
)

from api.routers.live import MISSED_READINGS_US
from api.stream_cursor import Cursor
from collector.live import QUEUE, Shown
from collector.readers.link import Sampled
from collector.readings import Channel, Quantity, Reading, Role, Sample

JOURNAL = ("phase", "weighing", "alarm", "lot")


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand


@pytest_asyncio.fixture
async def base(hand: AtHand) -> AsyncIterator[str]:
    async with served(hand) as base:
        yield base


def until_named(name: str, count: int = 1) -> Callable[[list[Message]], bool]:
    return lambda came: len(named(came, name)) >= count


def beat_after_the_close(came: list[Message]) -> bool:
    return came[-1].name == "beat" and len(named(came, "lot")) == 2


async def watch(base: str, hand: AtHand, name: str, count: int = 1) -> asyncio.Task[list[Message]]:
    """Open a screen in the background, and return once the service knows it."""
    before = hand.workshop.pipeline.live.screens
    task = asyncio.create_task(collect(base, until_named(name, count)))
    await until(lambda: hand.workshop.pipeline.live.screens > before)
    await asyncio.sleep(0.05)  # its place in the journal is read meanwhile
    return task


@pytest.mark.asyncio
async def test_a_new_screen_hears_where_each_bench_stands_and_a_beat(base: str) -> None:
    came = await collect(base, until_named("beat"))
    assert [m.data["bench"] for m in named(came, "bench")] == [BENCH, "attic"]
    assert came[-1].data == {"now": "2026-11-25T09:46:40.000Z", "trouble": None, "notice": None}


@pytest.mark.asyncio
async def test_what_happens_arrives_as_it_stands_in_the_lot(base: str, hand: AtHand) -> None:
    live = hand.workshop.pipeline.live
    screen = asyncio.create_task(collect(base, beat_after_the_close))
    await until(lambda: live.screens == 1)
    await asyncio.sleep(0.05)
    lot = await hand.open_lot()
    await hand.mark(lot, "stir", "begin")
    await hand.mark(lot, "stir", "end")
    await hand.http.post(f"/api/lots/{lot}/close")
    came = named(await screen, *JOURNAL)
    shown = await hand.got(f"/api/lots/{lot}")
    assert (came[0].name, came[0].data["id"], came[0].data["state"]) == ("lot", lot, "open")
    assert named(came, "lot")[-1].data["state"] == "closed"
    stir = [m.data for m in named(came, "phase") if m.data["phase"] == "stir"]
    assert [phase["ended"] is None for phase in stir] == [True, False]
    assert stir[-1] == {
        **next(p for p in shown["phases"] if p["phase"] == "stir"),
        "lot": lot,
        "bench": BENCH,
    }
    alarms = {m.data["id"] for m in named(came, "alarm") if m.data["folded_into"] is None}
    assert alarms >= {d["id"] for d in shown["deviations"]}


@pytest.mark.asyncio
async def test_a_day_planned_again_shows_its_open_lot_anew(base: str, hand: AtHand) -> None:
    await hand.http.post("/api/recipes", json=RECIPE)
    name = RECIPE["name"]
    day = {"lots": [{"recipe": name, "vessels": 2}], "melted": "1 kg"}
    planned = (await hand.http.post("/api/pour-days", json=day)).json()["id"]
    screen = await watch(base, hand, "lot", 2)
    order = {"recipe": name, "vessels": 2, "bench": BENCH, "pour_day": planned}
    lot = (await hand.http.post("/api/lots", json=order)).json()["id"]
    await hand.http.put(f"/api/pour-days/{planned}", json={**day, "melted": "2 kg"})
    assert [message.data["id"] for message in named(await screen, "lot")] == [lot, lot]


@pytest.mark.asyncio
async def test_every_id_moves_on_through_the_journal(base: str, hand: AtHand) -> None:
    screen = await watch(base, hand, "lot", 2)
    lot = await hand.open_lot()
    for edge in ("begin", "end", "begin"):
        await hand.said(SCALE, Role.SCALE, 100)
        await hand.mark(lot, "stir", edge)
    await hand.http.post(f"/api/lots/{lot}/close")
    cursors = [Cursor.read(message.id) for message in await screen]
    assert None not in cursors
    seqs = [cursor.seq for cursor in cursors if cursor is not None]
    assert seqs == sorted(seqs)
    journal = [m.id.partition("-")[0] for m in named(await screen, *JOURNAL)]
    assert len(set(journal)) == len(journal)


@pytest.mark.asyncio
async def test_a_screen_that_comes_back_gets_what_it_missed_and_nothing_twice(
    base: str, hand: AtHand
) -> None:
    watcher = await watch(base, hand, "lot", 2)  # never away: what there was to hear
    first = await watch(base, hand, "lot", 1)
    lot = await hand.open_lot()
    heard = await first
    await hand.mark(lot, "stir", "begin")  # while the screen is away
    await hand.mark(lot, "stir", "end")
    second = asyncio.create_task(collect(base, until_named("lot", 1), heard[-1].id))
    await until(lambda: hand.workshop.pipeline.live.screens == 2)
    await hand.http.post(f"/api/lots/{lot}/close")
    again = named([*heard, *await second], *JOURNAL)
    whole = named(await watcher, *JOURNAL)
    assert [m.id.partition("-")[0] for m in again] == [m.id.partition("-")[0] for m in whole]
    assert [m.name for m in again] == [m.name for m in whole]


@pytest.mark.asyncio
async def test_a_screen_that_comes_back_gets_the_readings_it_missed_once(
    base: str, hand: AtHand
) -> None:
    first = await watch(base, hand, "reading", 1)
    await hand.said(POT, Role.POT, 80_000)
    heard = await first
    for mdegc in (81_000, 82_000, 83_000):
        hand.clock.pass_s(1)
        await hand.said(POT, Role.POT, mdegc)
    came = await collect(base, until_named("beat"), heard[-1].id)
    assert [m.data["value"] for m in named(came, "reading")] == [81.0, 82.0, 83.0]
    last = came[-1].id
    again = await collect(base, until_named("beat"), last)
    assert named(again, "reading") == []


@pytest.mark.asyncio
async def test_the_address_names_the_last_message_as_the_header_does(
    base: str, hand: AtHand
) -> None:
    first = await watch(base, hand, "reading", 1)
    await hand.said(POT, Role.POT, 80_000)
    heard = await first
    hand.clock.pass_s(1)
    await hand.said(POT, Role.POT, 81_000)
    await hand.open_lot()  # while the screen is away
    came = await collect(base, until_named("beat"), after=heard[-1].id)
    assert [m.data["value"] for m in named(came, "reading")] == [81.0]
    assert len(named(came, "lot")) == 1
    again = await collect(base, until_named("beat"), after=came[-1].id)
    assert named(again, "reading", "lot") == []


@pytest.mark.asyncio
async def test_the_header_is_newer_than_the_address_and_counts(base: str, hand: AtHand) -> None:
    first = await watch(base, hand, "reading", 1)
    await hand.said(POT, Role.POT, 80_000)
    heard = await first
    hand.clock.pass_s(1)
    await hand.said(POT, Role.POT, 81_000)
    came = await collect(base, until_named("reading", 1), after=heard[-1].id)
    # A browser that reconnects by itself keeps the address that it was opened with.
    again = await collect(base, until_named("beat"), last_id=came[-1].id, after=heard[-1].id)
    assert named(again, "reading") == []


@pytest.mark.asyncio
async def test_missed_readings_of_a_bench_that_is_behind_are_told_after_a_break(
    base: str, hand: AtHand
) -> None:
    screen = await watch(base, hand, "reading", 2)
    attic_us = hand.clock.pass_s(1)
    await hand.said("attic-scale", Role.SCALE, 1_000)
    hand.clock.pass_s(2)
    await hand.said(POT, Role.POT, 80_000)
    heard = await screen
    behind = Sampled(
        "attic-scale", attic_us + S_US, Sample(Quantity.MASS, 2_000)
    )  # as over a network
    pipeline = hand.workshop.pipeline
    pipeline.inbox.put(behind)
    await until(lambda: last_us(pipeline.instruments["attic-scale"].last) > attic_us)
    came = await collect(base, until_named("beat"), heard[-1].id)
    told = [(m.data["channel"], m.data["value"]) for m in named(came, "reading")]
    assert told == [("attic-scale", 2.0)]


@pytest.mark.asyncio
async def test_readings_of_long_ago_are_left_to_the_curve(base: str, hand: AtHand) -> None:
    first = await watch(base, hand, "reading", 1)
    await hand.said(POT, Role.POT, 80_000)
    heard = await first
    hand.clock.pass_s(1)
    await hand.said(POT, Role.POT, 81_000)
    hand.clock.pass_s(MISSED_READINGS_US / S_US + 1)
    await hand.said(POT, Role.POT, 82_000)
    came = await collect(base, until_named("beat"), heard[-1].id)
    assert [m.data["value"] for m in named(came, "reading")] == [82.0]


@pytest.mark.asyncio
async def test_what_happens_while_a_screen_catches_up_is_told_once(
    base: str, hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    lot = await hand.open_lot()
    asked, go_on = threading.Event(), threading.Event()
    last_seq = hand.workshop.history.last_seq

    def held_up() -> int:
        asked.set()
        assert go_on.wait(5)
        return last_seq()

    monkeypatch.setattr(hand.workshop.history, "last_seq", held_up)
    screen = asyncio.create_task(collect(base, until_named("beat", 2), "0-0"))
    await until(asked.is_set)
    await hand.mark(lot, "stir", "begin")  # it is missed, and it is news
    go_on.set()
    assert [m.data["phase"] for m in named(await screen, "phase")] == ["stir"]


@pytest.mark.asyncio
async def test_a_channel_is_not_cut_off_by_a_later_time_of_another(base: str, hand: AtHand) -> None:
    screen = await watch(base, hand, "reading", 2)
    now_us = hand.clock.pass_s(2)
    live = hand.workshop.pipeline.live
    pot, scale = (
        Channel(POT, BENCH, Role.POT, None),
        Channel("attic-scale", "attic", Role.SCALE, None),
    )
    live.tell(Shown(pot, Reading(POT, now_us, 80_000)))
    live.tell(Shown(scale, Reading("attic-scale", now_us - 50_000, 1_000)))  # its bench is behind
    assert [m.data["channel"] for m in named(await screen, "reading")] == [POT, "attic-scale"]


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "last_id",
    [
        "",
        "x",
        "12",
        "-",
        "1-",
        "-1",
        "1-2-3",
        "1-2.",
        "1-.2",
        "1-2..3",
        "²-1",
        "1e3-1",
        "9" * 5000 + "-1",
        "-5-1",
        "7-7 7",
    ],
)
async def test_an_id_that_names_nothing_begins_now(base: str, last_id: str) -> None:
    async with httpx.AsyncClient(timeout=5) as client:
        headers = {b"last-event-id": last_id.encode("latin-1")}
        async with client.stream("GET", f"{base}/api/live", headers=headers) as answer:
            assert answer.status_code == 200
            async for line in answer.aiter_lines():
                if line == "event: beat":
                    return
    raise AssertionError("no beat came")


@pytest.mark.asyncio
async def test_an_id_from_before_a_bench_was_added_still_resumes(base: str, hand: AtHand) -> None:
    first = await watch(base, hand, "lot", 1)
    lot = await hand.open_lot()
    one_bench = (await first)[-1].id.rpartition(".")[0]
    await hand.mark(lot, "stir", "begin")
    came = await collect(base, until_named("beat"), one_bench)
    assert [m.data["phase"] for m in named(came, "phase")] == ["stir"]


@pytest.mark.asyncio
async def test_an_id_of_another_store_begins_now(base: str, hand: AtHand) -> None:
    lot = await hand.open_lot()
    task = asyncio.create_task(collect(base, until_named("phase"), "999999-1"))
    await until(lambda: hand.workshop.pipeline.live.screens == 1)
    await asyncio.sleep(0.05)
    await hand.mark(lot, "stir", "begin")
    assert named(await task, "phase")[0].data["phase"] == "stir"


@pytest.mark.asyncio
async def test_more_than_one_chunk_of_missed_events_arrives_whole(
    base: str, hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("api.routers.live.CHUNK", 3)
    lot = await hand.open_lot()
    for _ in range(6):
        await hand.mark(lot, "stir", "begin")
        await hand.mark(lot, "stir", "end")
    came = await collect(base, until_named("beat"), "0-0")
    stirred = [m for m in named(came, "phase") if m.data["ended"] is not None]
    assert len(stirred) == 6


@pytest.mark.asyncio
async def test_a_stream_ends_cleanly_where_the_store_cannot_be_read(
    base: str, hand: AtHand, caplog: pytest.LogCaptureFixture
) -> None:
    database = hand.workshop.history._folder / "pourkeep.db"
    away = database.rename(database.with_suffix(".away"))
    async with httpx.AsyncClient(timeout=5) as client:
        answer = await client.get(f"{base}/api/live")
    away.rename(database)
    assert (answer.status_code, answer.text) == (200, "retry: 1000\n\n")
    assert [r for r in caplog.records if r.getMessage().startswith("a screen's stream ends: ")]
    assert named(await collect(base, until_named("beat")), "bench") != []


@pytest.mark.asyncio
async def test_a_screen_that_leaves_is_forgotten(base: str, hand: AtHand) -> None:
    async with (
        httpx.AsyncClient(timeout=5) as client,
        client.stream("GET", f"{base}/api/live") as answer,
    ):
        assert answer.status_code == 200
        await until(lambda: hand.workshop.pipeline.live.screens == 1)
    await until(lambda: hand.workshop.pipeline.live.screens == 0)


@pytest.mark.asyncio
async def test_a_slow_screen_is_let_go_and_the_bench_goes_on(hand: AtHand) -> None:
    async with served(hand, send_buffer=4096) as base:
        lot = await hand.open_lot()
        with socket.socket() as slow:
            slow.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
            host, port = base.removeprefix("http://").split(":")
            slow.connect((host, int(port)))
            slow.sendall(b"GET /api/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
            live = hand.workshop.pipeline.live
            await until(lambda: live.screens == 1)
            pot = Channel(POT, BENCH, Role.POT, None)
            for number in range(4 * QUEUE):  # nobody reads them
                live.tell(Shown(pot, Reading(POT, hand.clock.pass_s(0.1), 80_000 + number)))
                if number % 20 == 0:
                    await asyncio.sleep(0.001)  # a screen that reads would keep up
            (screen,) = live._screens  # its stream waits for the socket
            assert screen.lagging.is_set()
            marked = await asyncio.wait_for(hand.mark(lot, "stir", "begin"), 2)
            assert marked.status_code == 201
            text = await asyncio.to_thread(_rest, slow)  # it wakes up: the stream has an end
        await until(lambda: live.screens == 0)
        last_id = text.rpartition("\nid: ")[2].partition("\n")[0]
        came = await collect(base, until_named("beat"), last_id)
        assert [m.data["phase"] for m in named(came, "phase")] == ["stir"]


def _rest(slow: socket.socket) -> str:
    slow.settimeout(10)
    came = b""
    while not came.endswith(b"0\r\n\r\n"):  # the last chunk, RFC 9112, 7.1
        piece = slow.recv(65_536)  # which two of these may share
        assert piece, "cut off without its end"
        came += piece
    return came.decode().replace("\r\n", "\n")


@pytest.mark.asyncio
async def test_streams_end_when_the_service_is_told_to_stop(hand: AtHand) -> None:
    async with (
        served(hand) as base,
        httpx.AsyncClient(timeout=5) as client,
        client.stream("GET", f"{base}/api/live") as answer,
    ):
        await until(lambda: hand.workshop.pipeline.live.screens == 1)
        hand.workshop.stopping.set()
        loop = asyncio.get_running_loop()
        asked_s = loop.time()
        async for _ in answer.aiter_bytes():
            pass
        assert loop.time() - asked_s < 2
