"""Readings from a bench to its hub over a real broker: all of them, once, under their times."""

import asyncio
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import msgspec
import pytest
from bench_and_hub import (
    BENCH,
    CHANNELS,
    SendingBench,
    count,
    hub,
    hub_config,
    kept,
    now_us,
    readings_since,
    sending_bench,
    until,
)
from real_broker import RealBroker, running_broker

from api.instrument_reading import instrument, state_of
from collector.clock import SystemClock
from collector.link.bench_state import STOPPED, BenchState
from collector.link.broker import Broker
from collector.link.topics import HUB_STATE
from collector.readings import Channel, Quality, Reading, Role
from collector.senml import encode
from collector.service_events import ReadingsCameLate
from collector.store.history import History
from collector.store.verify import verify
from collector.workshop import Workshop

HOUR_US = 3_600_000_000


@pytest.fixture(autouse=True)
def soon_forgotten(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("collector.link.forwarder.FORGET_S", 0.2)


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[RealBroker]:
    with running_broker(tmp_path / "broker") as made:
        yield made


@pytest.fixture
def secured(tmp_path: Path) -> Iterator[RealBroker]:
    with running_broker(tmp_path / "broker", secured=True) as made:
        yield made


async def say(bench: SendingBench, value: int, quality: Quality = Quality.GOOD) -> Reading:
    """Let the scale say something now."""
    reading = Reading(CHANNELS[0].name, now_us() // 1000 * 1000, value, quality)
    await bench.take([reading])
    return reading


def is_shown(workshop: Workshop, reading: Reading) -> bool:
    return workshop.pipeline.instruments[CHANNELS[0].name].last == reading


@pytest.mark.asyncio
async def test_a_reading_is_at_the_hub_within_a_second_and_then_leaves_the_spool(
    tmp_path: Path, secured: RealBroker
) -> None:
    async with (
        hub(tmp_path / "hub", secured.config("hub")) as workshop,
        sending_bench(tmp_path / "east", secured.config("east")) as bench,
    ):
        await say(bench, 1_000)
        await bench.emptied()
        for value, quality in enumerate(Quality):
            said = await say(bench, 0 if quality is Quality.BAD else value, quality)
            assert await until(partial(is_shown, workshop, said)) < 1.0
        await bench.emptied()
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")
    assert count(tmp_path / "hub") == 5
    assert verify(tmp_path / "hub") == []


@pytest.mark.asyncio
async def test_what_arrives_twice_is_stored_once_and_judged_once(
    tmp_path: Path, broker: RealBroker
) -> None:
    since_us = now_us() - 2_000_000
    readings = readings_since(since_us, 2.0, CHANNELS)
    pack = encode(readings, {channel.name: channel.quantity for channel in CHANNELS})
    async with hub(tmp_path / "hub", broker.config("hub")) as workshop:
        async with Broker(broker.config("east"), "by hand").connected() as session:
            await session.subscribe(HUB_STATE)
            await session.arrived(1)  # the hub listens
            await session.subscribe(f"pourkeep/{BENCH}/stored")
            for time in (b"first", b"second", b"third"):
                await session.publish(
                    f"pourkeep/{BENCH}/readings",
                    pack,
                    reply_to=f"pourkeep/{BENCH}/stored",
                    correlation=time,
                )
                (confirmed,) = await session.arrived(1)
                assert confirmed.correlation == time
        assert workshop.pipeline.batch.tally.stored == len(readings)
        assert workshop.history.events_of([ReadingsCameLate]) == []
    rows = kept(tmp_path / "hub")
    for channel in CHANNELS:
        assert [row[0] for row in rows[channel.name]] == [
            r.taken_us for r in readings if r.channel == channel.name
        ]


@pytest.mark.asyncio
async def test_what_a_broker_retained_is_no_fresh_reading(
    tmp_path: Path, broker: RealBroker
) -> None:
    def pack(grams: int) -> bytes:
        return b'[{"n":"%s","u":"g","v":%d}]' % (CHANNELS[0].name.encode(), grams)

    topic = f"pourkeep/{BENCH}/readings"
    async with Broker(broker.config("east"), "by hand").connected() as session:
        await session.publish(topic, pack(1), retain=True)
        async with hub(tmp_path / "hub", broker.config("hub")) as workshop:
            await session.subscribe(HUB_STATE)
            await session.arrived(1)
            await session.publish(topic, pack(2), retain=True)
            await until(lambda: workshop.pipeline.batch.tally.stored >= 1)
    (row,) = kept(tmp_path / "hub")[CHANNELS[0].name]
    assert row[1] == 2_000


@pytest.mark.asyncio
async def test_a_broker_that_is_restarted_loses_nothing(tmp_path: Path, broker: RealBroker) -> None:
    async with (
        hub(tmp_path / "hub", broker.config("hub")),
        sending_bench(tmp_path / "east", broker.config("east")) as bench,
    ):
        await bench.take(readings_since(now_us(), 2.0, CHANNELS))
        await bench.emptied()
        broker.stop()
        await bench.take(readings_since(now_us(), 10.0, CHANNELS))
        broker.start()
        await bench.take(readings_since(now_us() + 20_000_000, 2.0, CHANNELS))
        await bench.emptied()
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")


@pytest.mark.asyncio
async def test_a_hub_that_is_away_gets_it_when_it_is_back(
    tmp_path: Path, broker: RealBroker
) -> None:
    async with sending_bench(tmp_path / "east", broker.config("east")) as bench:
        await bench.take(readings_since(now_us() - HOUR_US, 60.0, CHANNELS))
        await asyncio.sleep(1.0)
        assert await bench.outbox.depth() == 60, "nothing leaves the spool without a hub"
        async with hub(tmp_path / "hub", broker.config("hub")):
            await bench.emptied()
        await bench.take(readings_since(now_us() - HOUR_US // 2, 60.0, CHANNELS))
        await asyncio.sleep(0.5)
        assert await bench.outbox.depth() == 60
        async with hub(tmp_path / "hub", broker.config("hub")):
            await bench.emptied()
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")
    assert count(tmp_path / "hub") == 2 * 60 * 2 * len(CHANNELS)


@pytest.mark.asyncio
async def test_what_was_packed_before_a_step_of_the_clock_goes_out_under_the_new_times(
    tmp_path: Path, broker: RealBroker
) -> None:
    async with sending_bench(tmp_path / "east", broker.config("east")) as bench:
        async with Broker(broker.config("hub"), "by hand").connected() as session:
            await session.subscribe(f"pourkeep/{BENCH}/readings")
            here = BenchState(state="online")
            await session.publish(HUB_STATE, here.encode(), retain=True)
            await bench.take(readings_since(now_us() - 3 * HOUR_US, 60.0, CHANNELS))
            await session.arrived(1)
            await session.publish(HUB_STATE, STOPPED.encode(), retain=True)
            await asyncio.sleep(0.5)  # it goes without having stored anything
        await bench.step(HOUR_US)
        async with hub(tmp_path / "hub", broker.config("hub")):
            await bench.emptied()
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")
    assert count(tmp_path / "hub") == 60 * 2 * len(CHANNELS)


@pytest.mark.asyncio
async def test_what_a_hub_may_have_stored_is_not_sent_again_under_other_times(
    tmp_path: Path, broker: RealBroker
) -> None:
    async with (
        sending_bench(tmp_path / "east", broker.config("east")) as bench,
        Broker(broker.config("hub"), "by hand").connected() as session,
    ):
        await session.subscribe(f"pourkeep/{BENCH}/readings")
        here = BenchState(state="online")
        await session.publish(HUB_STATE, here.encode(), retain=True)
        await bench.take(readings_since(now_us() - 3 * HOUR_US, 1.0, CHANNELS))
        (sent,) = await session.arrived(1)
        await bench.step(HOUR_US)
        new = readings_since(now_us(), 1.0, CHANNELS)
        await bench.take(new)
        (after,) = await session.arrived(1)
        assert after.payload == encode(new, {one.name: one.quantity for one in CHANNELS})
        for message in (sent, after):
            stored = f"pourkeep/{BENCH}/stored"
            await session.publish(stored, b"", correlation=message.correlation)
        await bench.emptied()


@pytest.mark.asyncio
async def test_a_bench_that_is_restarted_sends_what_it_has_not_sent(
    tmp_path: Path, broker: RealBroker
) -> None:
    async with sending_bench(tmp_path / "east", broker.config("east")) as bench:
        await bench.take(readings_since(now_us() - HOUR_US, 60.0, CHANNELS))
    async with (
        hub(tmp_path / "hub", broker.config("hub")),
        sending_bench(tmp_path / "east", broker.config("east")) as bench,
    ):
        await bench.emptied()
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")
    assert count(tmp_path / "hub") == 60 * 2 * len(CHANNELS)


@pytest.mark.asyncio
async def test_an_instrument_that_the_hub_does_not_know_blocks_nothing_and_is_counted(
    tmp_path: Path, broker: RealBroker
) -> None:
    async with (
        hub(tmp_path / "hub", broker.config("hub"), CHANNELS[:2]) as workshop,
        sending_bench(tmp_path / "east", broker.config("east")) as bench,
    ):
        await bench.take(readings_since(now_us() - HOUR_US, 5.0, CHANNELS))
        await bench.emptied()
        assert workshop.rejected(CHANNELS[0].name) == {
            f'no instrument here has the device "{channel.name}": confirmed, but not kept here': 10
            for channel in CHANNELS[2:]
        }
        shown = instrument(workshop, state_of(workshop, CHANNELS[0].name))
        assert (shown.rejected, shown.not_kept) == ({}, workshop.rejected(CHANNELS[0].name))
    assert kept(tmp_path / "hub", CHANNELS[:2]) == kept(tmp_path / "east", CHANNELS[:2])
    assert count(tmp_path / "hub") == 20


@pytest.mark.asyncio
async def test_a_bench_that_the_hub_does_not_know_keeps_what_it_has(
    tmp_path: Path, broker: RealBroker
) -> None:
    elsewhere = [Channel("west-scale", "west", Role.SCALE, 10_000_000)]
    settings = msgspec.structs.replace(
        hub_config(tmp_path / "hub", broker.config("hub"), elsewhere), benches=("west",)
    )
    async with (
        Workshop(settings, SystemClock()),
        sending_bench(tmp_path / "east", broker.config("east")) as bench,
    ):
        await bench.take(readings_since(now_us() - HOUR_US, 5.0, CHANNELS))
        await asyncio.sleep(1.5)
        assert await bench.outbox.depth() == 5
    async with (
        hub(tmp_path / "hub", broker.config("hub")),
        sending_bench(tmp_path / "east", broker.config("east")) as bench,
    ):
        await bench.emptied()
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")


@pytest.mark.asyncio
async def test_two_hours_without_a_broker_arrive_within_seconds(
    tmp_path: Path, broker: RealBroker
) -> None:
    """Eight instruments at two readings a second: 115,200 readings."""
    channels = [Channel(f"{BENCH}-{n}", BENCH, Role.POT, 10_000_000) for n in range(8)]
    broker.stop()
    async with sending_bench(tmp_path / "east", broker.config("east"), channels) as bench:
        await bench.take(readings_since(now_us() - 2 * HOUR_US, 7_200.0, channels), each=64)
        broker.start()
        async with hub(tmp_path / "hub", broker.config("hub"), channels):
            assert await bench.emptied(60.0) < 45.0  # 12 s on a quiet machine
    assert count(tmp_path / "hub", channels) == 115_200
    assert kept(tmp_path / "hub", channels) == kept(tmp_path / "east", channels)
    late = [s.event for s in History(tmp_path / "hub").events_of([ReadingsCameLate])]
    assert sum(run.count for run in late if isinstance(run, ReadingsCameLate)) == 115_200
