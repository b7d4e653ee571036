"""A workshop beside a real InfluxDB server that goes away and comes back while it works."""

import asyncio
import sqlite3
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from influx_at_hand import count
from influx_process import InfluxProcess, influxd
from workshop_at_hand import BENCH, JUG, SCALE, AtHand, at_hand, config, problem, until

from collector.readers.link import Sampled
from collector.readings import ROLE_QUANTITY, Quality, Role, Sample
from collector.sender_state import Sending
from collector.store import History
from collector.store.influx.curves import read_span
from collector.store.influx.server import InfluxServer

DATABASE = "pour"
LOADED_S = 1.0
ROLES = {SCALE: Role.SCALE, JUG: Role.PITCHER}


async def load(hand: AtHand, done: asyncio.Event) -> None:
    """Let the scale and the thermometer give some 400 readings a second, all different."""
    turn = 0
    while not done.is_set():
        for name, role in ROLES.items():
            turn += 1
            quality = Quality.SUSPECT if turn % 7 == 0 else Quality.GOOD
            value = 75_000 - turn if role is Role.PITCHER else 180_000 + turn * 7919 % 997
            sample = Sample(ROLE_QUANTITY[role], value, quality)
            hand.workshop.pipeline.inbox.put(Sampled(name, hand.clock.pass_s(0.25), sample))
        await asyncio.sleep(0.005)


@asynccontextmanager
async def workshop_beside(influx: InfluxProcess, data: Path) -> AsyncIterator[AtHand]:
    place = influx.config(DATABASE, every_us=100_000)
    async with at_hand(config(data, influx=place)) as hand:
        yield hand


async def sent(hand: AtHand) -> None:
    """Wait until all that was committed is there."""
    (sender,) = hand.workshop.senders
    await hand.workshop.pipeline.write_now()
    await until(lambda: sender.outbox._count("depth") == 0)
    await until(lambda: sender.state.sending is Sending.UP_TO_DATE)


def counts_here(data: Path) -> tuple[int, int]:
    """Return how many readings and events this store holds."""
    with sqlite3.connect(data / "pourkeep.db") as connection:
        (readings,) = connection.execute("SELECT count(*) FROM reading").fetchone()
    connection.close()
    return readings, History(data).last_seq()


def counts_there(influx: InfluxProcess) -> tuple[int, int]:
    server = InfluxServer(influx.config(DATABASE))
    return count(server, "reading", "value"), count(server, "event", "seq")


async def forget_readings(hand: AtHand) -> None:
    """Do what a retention does: the readings go, the journal stays."""

    def forget(connection: sqlite3.Connection) -> None:
        connection.execute("DELETE FROM reading")

    await hand.workshop._store.change(forget)


@pytest.mark.parametrize("end", [InfluxProcess.stop, InfluxProcess.kill])
@pytest.mark.asyncio
async def test_stopped_and_started_under_load_both_sides_hold_the_same(
    tmp_path: Path, end: Callable[[InfluxProcess], None]
) -> None:
    with influxd(tmp_path / "influx") as influx:
        async with workshop_beside(influx, tmp_path / "data") as hand:
            lot = await hand.open_lot()
            done = asyncio.Event()
            loading = asyncio.create_task(load(hand, done))
            (sender,) = hand.workshop.senders
            await until(lambda: sender.state.sending is Sending.UP_TO_DATE)
            await asyncio.sleep(LOADED_S)
            await asyncio.to_thread(end, influx)
            await until(lambda: sender.state.sending is Sending.AWAY)
            await asyncio.sleep(LOADED_S)
            assert sender.state.waiting > 1
            await asyncio.to_thread(influx.start)
            await asyncio.sleep(LOADED_S)
            done.set()
            await loading
            assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
            await sent(hand)
            here = counts_here(tmp_path / "data")
            assert here[0] > 600
            assert counts_there(influx) == here
            (shown,) = await hand.got("/api/outbox")
            assert (shown["state"], shown["waiting"], shown["refused"]) == ("up to date", 0, 0)
            await curves_are_equal(hand, influx, lot)


async def curves_are_equal(hand: AtHand, influx: InfluxProcess, lot: str) -> None:
    """Hold each curve from here against the one from there, point for point."""
    server = InfluxServer(influx.config(DATABASE))
    channels = {i.name: i.channel() for i in hand.workshop.config.instruments}
    before = {name: await curve(hand, lot, name) for name in ROLES}
    for name in ROLES:
        here = hand.workshop.history.readings(name, 0, 2**52)
        there = await asyncio.to_thread(read_span, server, channels[name], 0, 2**52)
        assert here.times.size > 300
        assert [part.tolist() for part in there] == [part.tolist() for part in here]
        assert [part.dtype for part in there] == [part.dtype for part in here]
    await forget_readings(hand)
    assert hand.workshop.history.readings(SCALE, 0, 2**52).times.size == 0
    for name, shown in before.items():
        assert len(shown["t"]) > 100
        assert await curve(hand, lot, name) == shown


async def curve(hand: AtHand, lot: str, channel: str) -> dict[str, Any]:
    shown: dict[str, Any] = await hand.got(f"/api/lots/{lot}/curve?channel={channel}&points=500")
    return shown


@pytest.mark.asyncio
async def test_an_old_curve_of_a_server_that_is_away_is_a_clear_problem(tmp_path: Path) -> None:
    influx = InfluxProcess(tmp_path / "influx")  # never started
    async with workshop_beside(influx, tmp_path / "data") as hand:
        lot = await hand.open_lot()
        await hand.said(SCALE, Role.SCALE, 180_000)
        await hand.said(JUG, Role.PITCHER, 75_000)
        hand.clock.pass_s(1)
        assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
        path = f"/api/lots/{lot}/curve?channel={SCALE}"
        assert len((await hand.got(path))["t"]) == 1  # what is here needs no server
        await forget_readings(hand)
        told = problem(await hand.http.get(path), 503)
        assert "does not answer (it takes no connection)" in told["detail"]


@pytest.mark.asyncio
async def test_what_waits_and_what_was_refused_is_shown(tmp_path: Path) -> None:
    with influxd(tmp_path / "influx") as influx:
        spoiler = InfluxServer(influx.config(DATABASE))
        # Somebody else wrote this measurement first, and with another type.
        spoiler.write([f'reading,channel={JUG} value="hot" 1795600000000000000'])
        async with workshop_beside(influx, tmp_path / "data") as hand:
            hand.clock.pass_s(1)
            await hand.said(SCALE, Role.SCALE, 180_000)
            await hand.said(JUG, Role.PITCHER, 75_000)
            await sent(hand)
            await until(lambda: hand.workshop.senders[0].state.refused == 2)
            (shown,) = await hand.got("/api/outbox")
    assert (shown["target"], shown["state"], shown["waiting"]) == ("influx", "up to date", 0)
    assert shown["refused"] == len(shown["refusals"]) == 2
    assert all("field type conflict" in refusal["reason"] for refusal in shown["refusals"])
    assert all(f"bench={BENCH}," in refusal["point"] for refusal in shown["refusals"])


@pytest.mark.asyncio
async def test_a_workshop_without_influxdb_has_no_outbox(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand:
        assert await hand.got("/api/outbox") == []
