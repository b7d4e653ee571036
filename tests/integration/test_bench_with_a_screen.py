"""A bench that serves and forwards: it warns on its own when the hub is gone."""

from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from bench_and_hub import emptied, hub_config, now_us, until
from real_broker import RealBroker, running_broker
from workshop_at_hand import AtHand, HandClock, at_hand, config

from collector.clock import SystemClock
from collector.config import Config, Manual
from collector.mqtt_config import MqttConfig
from collector.readings import Channel, Role
from collector.store.history import History
from collector.store.outbox import Outbox
from collector.workshop import Workshop

BENCH = "slip"
SCALE = Channel("slip-scale", BENCH, Role.SCALE, None)
EVER = 2**62


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[RealBroker]:
    with running_broker(tmp_path / "broker") as made:
        yield made


def with_screen(folder: Path, mqtt: MqttConfig) -> Config:
    """Return a workshop that forwards what is typed in at its one bench."""
    usual = config(folder)
    instruments = tuple(one for one in usual.instruments if isinstance(one.link, Manual))
    return msgspec.structs.replace(usual, benches=(BENCH,), instruments=instruments, mqtt=mqtt)


async def type_in(hand: AtHand, grams: float) -> None:
    hand.clock.pass_s(1)
    body = {"value": grams, "unit": "g"}
    answer = await hand.http.post("/api/instruments/slip-scale/readings", json=body)
    assert answer.status_code == 201


@pytest.mark.asyncio
async def test_it_judges_without_a_hub_and_sends_all_of_it_when_there_is_one(
    tmp_path: Path, broker: RealBroker
) -> None:
    settings = with_screen(tmp_path / "slip", broker.config(BENCH))
    async with at_hand(settings, HandClock(now_us())) as hand:
        lot = await hand.open_lot()
        alarm = await hand.alarm(lot)
        assert alarm["rule"] == "phase-order"
        for grams in (100.0, 250.5, 0.0):
            await type_in(hand, grams)
        outbox = Outbox(hand.workshop._store, f"mqtt:{BENCH}")
        await until(lambda: hand.workshop.pipeline.batch.tally.stored == 3)
        assert await outbox.depth() > 0
        remote = msgspec.structs.replace(
            hub_config(tmp_path / "hub", broker.config("hub"), [SCALE]), benches=(BENCH,)
        )
        async with Workshop(remote, SystemClock()) as hub:
            await until(lambda: hub.pipeline.batch.tally.stored == 3)
            await emptied(outbox)
    here = History(tmp_path / "slip").readings(SCALE.name, 0, EVER)
    there = History(tmp_path / "hub").readings(SCALE.name, 0, EVER)
    assert there.times.tolist() == here.times.tolist()
    assert there.values.tolist() == [100_000, 250_500, 0]
