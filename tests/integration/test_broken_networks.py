"""A network that breaks in the middle of messages, and ends that are gone without a goodbye."""

import asyncio
from collections.abc import Iterator
from pathlib import Path

import pytest
from bench_and_hub import (
    CHANNELS,
    count,
    hub,
    kept,
    now_us,
    readings_since,
    sending_bench,
    until,
)
from cutting_proxy import CuttingProxy
from real_broker import RealBroker, running_broker

from collector.instrument_state import LinkState
from collector.workshop import Workshop

HOUR_US = 3_600_000_000
WHOLE = 1 << 40


@pytest.fixture(autouse=True)
def soon_forgotten(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("collector.link.forwarder.FORGET_S", 0.2)


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[RealBroker]:
    with running_broker(tmp_path / "broker") as made:
        yield made


def states(workshop: Workshop) -> set[LinkState]:
    return {one.state for one in workshop.pipeline.instruments.values()}


def reasons(workshop: Workshop) -> set[str | None]:
    return {one.reason for one in workshop.pipeline.instruments.values()}


@pytest.mark.asyncio
@pytest.mark.parametrize("seed", [1, 2])
async def test_a_network_that_cuts_messages_in_two_loses_and_doubles_nothing(
    tmp_path: Path, broker: RealBroker, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("collector.link.broker.LAST_WAIT_S", 0.2)  # many cuts in a short time
    to_bench = CuttingProxy(broker.port, seed, 300, 40_000)
    to_hub = CuttingProxy(broker.port, seed + 100, 2_000, 120_000)
    async with (
        to_bench.running(),
        to_hub.running(),
        hub(tmp_path / "hub", broker.config("hub", port=to_hub.port)),
        sending_bench(tmp_path / "east", broker.config("east", port=to_bench.port)) as bench,
    ):
        await bench.take(readings_since(now_us() - HOUR_US, 1_500.0, CHANNELS), each=200)
        await until(lambda: to_bench.cuts >= 20 and to_hub.cuts >= 3)
        to_bench.whole = to_hub.whole = True
        to_bench.cut()
        to_hub.cut()
        await bench.emptied(30.0)
    assert count(tmp_path / "east") == 12_000
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")


@pytest.mark.asyncio
async def test_a_hub_cut_off_without_a_goodbye_gets_all_when_it_is_back(
    tmp_path: Path, broker: RealBroker
) -> None:
    to_hub = CuttingProxy(broker.port, 0, WHOLE, WHOLE)
    async with (
        to_hub.running(),
        hub(tmp_path / "hub", broker.config("hub", port=to_hub.port)),
        sending_bench(tmp_path / "east", broker.config("east")) as bench,
    ):
        for second in range(4):
            await bench.take(readings_since(now_us() - HOUR_US + second * 2_000_000, 2, CHANNELS))
            to_hub.cut()
            await asyncio.sleep(0.3)
        await bench.emptied()
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")


@pytest.mark.asyncio
async def test_a_bench_that_is_cut_off_is_known_at_once_and_found_again(
    tmp_path: Path, broker: RealBroker
) -> None:
    to_bench = CuttingProxy(broker.port, 0, WHOLE, WHOLE)
    async with hub(tmp_path / "hub", broker.config("hub")) as workshop:
        async with (
            to_bench.running(),
            sending_bench(tmp_path / "east", broker.config("east", port=to_bench.port)) as bench,
        ):
            await bench.take(readings_since(now_us(), 0.5, CHANNELS))
            await until(lambda: states(workshop) == {LinkState.READING})
            to_bench.cut()
            await until(lambda: states(workshop) == {LinkState.LOST})
            assert reasons(workshop) == {
                "bench east is offline: its connection to the broker broke off"
            }
            await until(lambda: LinkState.LOST not in states(workshop))
        await until(lambda: states(workshop) == {LinkState.LOST})
        assert reasons(workshop) == {"bench east is offline: it was stopped"}


@pytest.mark.asyncio
async def test_a_hub_whose_broker_hangs_says_so(
    tmp_path: Path, broker: RealBroker, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("collector.link.broker.KEEPALIVE_S", 1)
    monkeypatch.setattr("collector.link.broker.TIMEOUT_S", 1.0)
    monkeypatch.setattr("collector.link.receiver.PATIENCE_S", 1.0)
    async with (
        hub(tmp_path / "hub", broker.config("hub")) as workshop,
        sending_bench(tmp_path / "east", broker.config("east")) as bench,
    ):
        await bench.take(readings_since(now_us(), 0.5, CHANNELS))
        await until(lambda: states(workshop) == {LinkState.READING})
        broker.freeze()
        await until(lambda: states(workshop) == {LinkState.LOST}, 25.0)
        (reason,) = reasons(workshop)
        assert reason is not None
        assert reason.startswith("this machine has no connection to the broker: ")
        broker.stop()
        broker.start()
        await until(lambda: LinkState.LOST not in states(workshop))
        await bench.take(readings_since(now_us(), 0.5, CHANNELS))
        await bench.emptied()
    assert kept(tmp_path / "hub") == kept(tmp_path / "east")
