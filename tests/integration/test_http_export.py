"""A lot as a file over HTTP: its headers by RFC 6266 and RFC 7111, its bytes, and who hangs up."""

import asyncio
import csv
import io
import json
import socket
from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import httpx
import msgspec
import pyarrow.parquet as pq
import pytest
import pytest_asyncio
from event_stream_client import served
from workshop_at_hand import JUG, PATIENCE_S, SCALE, AtHand, at_hand, config, problem, until

from api.export import formats
from api.export.formats import FORMATS
from api.export.lot_export import LotExport, Piece
from collector.readings import Role
from collector.service_events import ReadingsExpired

pytestmark = pytest.mark.asyncio

NAMES = list(FORMATS)
MEDIA_TYPES = {
    "csv": "text/csv; charset=utf-8; header=present",
    "parquet": "application/vnd.apache.parquet",
    "jsonl": "application/x-ndjson",
}


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand


async def lot_with_readings(hand: AtHand, count: int = 5) -> str:
    lot = await hand.open_lot()
    for n in range(count):
        hand.clock.pass_s(1)
        await hand.said(SCALE, Role.SCALE, 1000 * n)
        await hand.said(JUG, Role.PITCHER, 70_000 - n)
    hand.clock.pass_s(1)
    assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    return lot


@pytest.mark.parametrize("name", NAMES)
async def test_each_format_comes_under_its_name_and_type(hand: AtHand, name: str) -> None:
    lot = await lot_with_readings(hand)
    address = f"/api/lots/{lot}/export?format={name}"
    answer = await hand.http.get(address)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == MEDIA_TYPES[name]
    assert answer.headers["content-disposition"] == f'attachment; filename="lot-{lot}.{name}"'
    assert answer.headers["cache-control"] == "no-store"
    assert len(readings_in(name, answer.content)) == 10
    head = await hand.http.head(address)
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-disposition"] == answer.headers["content-disposition"]


def readings_in(name: str, data: bytes) -> list[object]:
    if name == "csv":
        rows: list[dict[str, object]] = list(csv.DictReader(io.StringIO(data.decode())))
    elif name == "jsonl":
        rows = [json.loads(line) for line in data.splitlines()]
    else:
        rows = pq.read_table(io.BytesIO(data)).to_pylist()
    return [row for row in rows if row["kind"] == "reading"]


async def test_an_open_lot_is_exported_as_far_as_it_has_come(hand: AtHand) -> None:
    lot = await hand.open_lot()
    hand.clock.pass_s(1)
    await hand.said(SCALE, Role.SCALE, 1000)
    # what is not on disk yet is in no file
    await until(lambda: hand.workshop.history.last_reading_us([SCALE]) is not None)
    answer = await hand.http.get(f"/api/lots/{lot}/export?format=jsonl")
    first = json.loads(answer.text.splitlines()[0])
    assert first["lot"]["state"] == "open"
    assert len(readings_in("jsonl", answer.content)) == first["readings"] == 1


async def test_what_there_is_is_told_beforehand(hand: AtHand) -> None:
    lot = await lot_with_readings(hand)
    told = await hand.got(f"/api/lots/{lot}/exports")
    assert (told["lot"], told["readings"], told["readings_removed"]) == (lot, 10, False)
    assert [made["format"] for made in told["formats"]] == NAMES
    for made in told["formats"]:
        assert made["file"] == f"lot-{lot}.{made['format']}"
        assert made["unavailable"] is None
        size = len((await hand.http.get(f"/api/lots/{lot}/export?format={made['format']}")).content)
        assert made["bytes"] / 10 < size < made["bytes"] * 10


async def test_that_readings_were_removed_is_told_and_the_rest_is_given(hand: AtHand) -> None:
    lot = await lot_with_readings(hand)
    later_us = hand.clock.pass_s(86_400)
    await hand.workshop.pipeline.give(
        None,
        lambda at_us: ReadingsExpired(
            at_us=at_us, bench=None, lot=None, before_us=later_us, readings=9
        ),
    )
    assert (await hand.got(f"/api/lots/{lot}/exports"))["readings_removed"] is True
    answer = await hand.http.get(f"/api/lots/{lot}/export?format=csv")
    assert "were removed from the store" in answer.text


async def test_what_is_not_there_is_not_found_and_a_wrong_format_is_refused(hand: AtHand) -> None:
    lot = await hand.open_lot()
    problem(await hand.http.get("/api/lots/2020-01-01-1/export?format=csv"), 404)
    problem(await hand.http.get("/api/lots/2020-01-01-1/exports"), 404)
    refused = problem(await hand.http.get(f"/api/lots/{lot}/export?format=xls"), 422)
    assert "'csv', 'parquet' or 'jsonl'" in refused["detail"]
    problem(await hand.http.get(f"/api/lots/{lot}/export"), 422)


async def test_a_machine_without_parquet_says_so(
    hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    lot = await hand.open_lot()
    monkeypatch.setattr("importlib.util.find_spec", lambda _name: None)
    refused = problem(await hand.http.get(f"/api/lots/{lot}/export?format=parquet"), 500)
    assert "pyarrow is not installed" in refused["detail"]
    told = await hand.got(f"/api/lots/{lot}/exports")
    unavailable = {made["format"]: made["unavailable"] is not None for made in told["formats"]}
    assert unavailable == {"csv": False, "parquet": True, "jsonl": False}


class Endless:
    """A file that never ends, and counts what was made of it."""

    def __init__(self) -> None:
        self.made = 0

    def pieces(self, _export: LotExport) -> Iterator[Piece]:
        while True:
            self.made += 1
            yield Piece(b"x" * 100_000)


async def test_whoever_hangs_up_ends_it_and_whoever_is_slow_holds_it_up(
    hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    lot = await hand.open_lot()
    endless = Endless()
    file = msgspec.structs.replace(FORMATS["csv"], pieces=endless.pieces)
    monkeypatch.setitem(formats.FORMATS, "csv", file)
    async with served(hand, send_buffer=50_000) as base:
        url = httpx.URL(base)
        reader, writer = await asyncio.open_connection(url.host, url.port, limit=50_000)
        sock: socket.socket = writer.get_extra_info("socket")
        assert sock.fileno() >= 0
        request = f"GET /api/lots/{lot}/export?format=csv HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
        writer.write(request.encode())
        assert b"200 OK" in await asyncio.wait_for(reader.readline(), PATIENCE_S)
        await settled(endless)  # nobody reads on, so no more is made than buffers hold
        held_up = endless.made
        assert held_up < 300
        async with httpx.AsyncClient(base_url=base, trust_env=False) as http:
            assert (await http.get("/api/workshop")).status_code == 200
        await asyncio.wait_for(reader.readexactly(5_000_000), PATIENCE_S)
        assert endless.made > held_up
        writer.transport.abort()
        await settled(endless)


async def settled(endless: Endless) -> None:
    """Wait until no more pieces are made."""
    for _ in range(100):
        before = endless.made
        await asyncio.sleep(0.3)
        if endless.made == before:
            return
    raise AssertionError("it goes on")
