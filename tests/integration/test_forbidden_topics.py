"""What the broker's access list forbids is no delivery, and no silence either."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from bench_and_hub import BENCH
from real_broker import RealBroker, running_broker

from collector.errors import LinkError
from collector.link.broker import Broker

READINGS = f"pourkeep/{BENCH}/readings"


@pytest.fixture
def secured(tmp_path: Path) -> Iterator[RealBroker]:
    with running_broker(tmp_path / "broker", secured=True) as made:
        yield made


@pytest.mark.asyncio
async def test_a_message_that_is_forbidden_is_told_with_what_to_do(secured: RealBroker) -> None:
    async with Broker(secured.config(BENCH), "rightful").connected() as session:
        await session.publish(READINGS, b"[]")
    with pytest.raises(LinkError, match=r"refuses .* what it wants to do.*Correct user"):
        async with Broker(secured.config("west"), "stranger").connected() as session:
            await session.publish(READINGS, b"[]")
