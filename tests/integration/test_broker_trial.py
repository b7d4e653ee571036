"""`pourkeep check` says how the broker and the benches behind it do."""

import asyncio
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from bench_and_hub import BENCH, CHANNELS, hub_config
from real_broker import RealBroker, free_port, running_broker

from collector.link.bench_state import CUT_OFF, BenchState, InstrumentLink
from collector.link.broker import Broker
from collector.link.trial import try_broker
from collector.mqtt_config import MqttConfig, Tls
from collector.readers.trial import TrialResult

SCALE = CHANNELS[:1]


@pytest.fixture
def secured(tmp_path: Path) -> Iterator[RealBroker]:
    with running_broker(tmp_path / "broker", secured=True) as made:
        yield made


def results(folder: Path, mqtt: MqttConfig) -> list[TrialResult]:
    return try_broker(hub_config(folder, mqtt, SCALE))


def tell(broker: RealBroker, state: BenchState) -> None:
    async def publish() -> None:
        async with Broker(broker.config("east"), "by hand").connected() as session:
            await session.publish(f"pourkeep/{BENCH}/state", state.encode(), retain=True)

    asyncio.run(publish())


def test_without_a_broker_in_the_config_nothing_is_tried(tmp_path: Path) -> None:
    assert (
        try_broker(msgspec.structs.replace(hub_config(tmp_path, MqttConfig("")), mqtt=None)) == []
    )


def test_a_broker_that_answers_is_well_and_a_bench_it_knows_nothing_of_is_not(
    tmp_path: Path, secured: RealBroker
) -> None:
    broker, scale = results(tmp_path, secured.config("hub"))
    assert broker.ok
    assert broker.sentence == f"broker 127.0.0.1 port {secured.port}: connected with TLS"
    assert not scale.ok
    assert scale.sentence.startswith("east-scale: bench east has told nothing yet. ")


@pytest.mark.parametrize(
    ("state", "ok", "sentence"),
    [
        (CUT_OFF, False, "bench east is offline: its connection to the broker broke off. "),
        (BenchState(state="online"), False, 'bench east is online, but has no device "east-scale"'),
        (
            BenchState(
                state="online",
                instruments=(
                    InstrumentLink("east-scale", "lost", "It was unplugged", "Plug it in"),
                ),
            ),
            False,
            "It was unplugged. Plug it in",
        ),
        (
            BenchState(state="online", instruments=(InstrumentLink("east-scale", "reading"),)),
            True,
            "reading at bench east",
        ),
    ],
)
def test_an_instrument_at_a_bench_is_as_its_bench_tells(
    tmp_path: Path, secured: RealBroker, state: BenchState, ok: bool, sentence: str
) -> None:
    tell(secured, state)
    _, scale = results(tmp_path, secured.config("hub"))
    assert scale.ok is ok
    assert scale.sentence.startswith(f"east-scale: {sentence}")


def test_a_broker_that_cannot_be_used_says_why_and_what_to_do(
    tmp_path: Path, secured: RealBroker
) -> None:
    right = secured.config("hub")
    slips: list[tuple[dict[str, Any], str]] = [
        ({"password": "cuttle bone"}, "refuses this user or password"),
        ({"host": "nowhere.invalid"}, "There is no host nowhere.invalid. Correct the host"),
        ({"port": free_port()}, "Nothing listens at 127.0.0.1 port"),
        ({"tls": Tls()}, "is not trusted (self-signed certificate in certificate chain). Name"),
    ]
    for wrong, sentence in slips:
        (broker,) = results(tmp_path, msgspec.structs.replace(right, **wrong))
        assert not broker.ok
        assert sentence in broker.sentence
        assert "cuttle bone" not in broker.sentence
