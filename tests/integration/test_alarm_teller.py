"""Every change of an alarm is told on the broker, and what stands again after a break."""

import asyncio
import json
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import msgspec
import pytest
from bench_and_hub import PATIENCE_S
from cutting_proxy import CuttingProxy
from real_broker import RealBroker, running_broker
from workshop_at_hand import AtHand, at_hand, config

from collector.link.broker import Broker, Session


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[RealBroker]:
    with running_broker(tmp_path / "broker") as made:
        yield made


@asynccontextmanager
async def judging(
    folder: Path, broker: RealBroker, port: int | None = None
) -> AsyncIterator[AtHand]:
    settings = msgspec.structs.replace(config(folder), mqtt=broker.config("hub", port=port))
    async with at_hand(settings) as hand:
        yield hand


@asynccontextmanager
async def listening(broker: RealBroker) -> AsyncIterator[Session]:
    async with Broker(broker.config("hub"), "a listener").connected() as session:
        await session.subscribe("pourkeep/alarms/+")
        yield session


async def next_told(session: Session) -> tuple[str, dict[str, Any]]:
    async with asyncio.timeout(PATIENCE_S):
        (message,) = await session.arrived(1)
    assert not message.retained
    return message.topic, json.loads(message.payload)


@pytest.mark.asyncio
async def test_each_change_of_an_alarm_is_told_under_its_lot(
    tmp_path: Path, broker: RealBroker
) -> None:
    async with listening(broker) as session, judging(tmp_path / "data", broker) as hand:
        await asyncio.sleep(0.5)  # until it is connected
        lot = await hand.open_lot()
        alarm = await hand.alarm(lot)
        topic, told = await next_told(session)
        assert topic == f"pourkeep/alarms/{lot}"
        assert told == alarm
        await hand.http.post(f"/api/alarms/{alarm['id']}/acknowledge", json={"note": "so be it"})
        topic, told = await next_told(session)
        assert (topic, told["id"]) == (f"pourkeep/alarms/{lot}", alarm["id"])
        assert (told["state"], told["note"]) == ("acknowledged", "so be it")


@pytest.mark.asyncio
async def test_after_a_break_it_tells_what_became_of_what_stood(
    tmp_path: Path, broker: RealBroker
) -> None:
    network = CuttingProxy(broker.port, 0, 1 << 40, 1 << 40)
    async with (
        listening(broker) as session,
        network.running(),
        judging(tmp_path / "data", broker, network.port) as hand,
    ):
        await asyncio.sleep(0.5)
        lot = await hand.open_lot()
        alarm = await hand.alarm(lot)
        await next_told(session)
        network.go_down()
        await hand.http.post(f"/api/alarms/{alarm['id']}/acknowledge", json={})
        await hand.http.post(f"/api/lots/{lot}/close")
        network.down = False
        told: dict[str, Any] = {}
        while alarm["id"] not in told:
            _, document = await next_told(session)
            told[document["id"]] = document
    assert told[alarm["id"]]["state"] == "ended"
