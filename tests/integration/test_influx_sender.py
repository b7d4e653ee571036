"""The sender between a real outbox and a server that does as the test says."""

import asyncio
import threading
from collections.abc import AsyncIterator, Callable, Iterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path
from typing import cast

import msgspec
import pytest
from store_samples import BENCH, SCALE, START_US, lot_opened, scale_readings, weighing
from workshop_at_hand import PATIENCE_S, HandClock, until

from collector.readings import Channel, Role
from collector.sender_state import SenderState, Sending
from collector.store import History, Store
from collector.store.consignments import Consignment
from collector.store.influx.answers import MisconfiguredError, RefusedError, UnreachableError
from collector.store.influx.channel_book import ChannelBook
from collector.store.influx.sender import TARGET, Sender
from collector.store.influx.server import InfluxServer
from collector.store.outbox import Outbox

CHANNEL = Channel(SCALE, BENCH, Role.SCALE, None)


class ScriptedServer:
    """Takes points into a set, or raises what the test has put there."""

    def __init__(self) -> None:
        self.points: dict[str, int] = {}
        self.trouble: Exception | None = None
        self.refuses: Callable[[str], bool] = lambda _: False

    def write(self, lines: Sequence[str]) -> None:
        if self.trouble is not None:
            raise self.trouble
        bad = [line for line in lines if self.refuses(line)]
        for line in lines:
            if line not in bad:
                self.points[line] = self.points.get(line, 0) + 1
        if bad:
            raise RefusedError("field type conflict", len(bad))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(tmp_path, [TARGET])
    yield store
    store.close()


@pytest.fixture
def server() -> ScriptedServer:
    return ScriptedServer()


def sender_of(store: Store, server: ScriptedServer) -> Sender:
    book = ChannelBook({SCALE: CHANNEL}, History(store.folder))
    outbox = Outbox(store, TARGET)
    return Sender(outbox, cast("InfluxServer", server), book, HandClock(START_US), every_s=0.01)


def depth(store: Store) -> int:
    return Outbox(store, TARGET)._count("depth")


@asynccontextmanager
async def running(sender: Sender) -> AsyncIterator[Sender]:
    task = asyncio.create_task(sender.run())
    try:
        yield sender
    finally:
        task.cancel()
        with pytest.raises(asyncio.CancelledError):
            await task


async def commit(store: Store, commits: int, each: int = 3) -> None:
    for n in range(commits):
        await store.commit(scale_readings(START_US + n * 10_000_000, each), [])


@pytest.mark.asyncio
async def test_every_commit_arrives_and_is_forgotten(store: Store, server: ScriptedServer) -> None:
    await store.commit([], [lot_opened()])
    await store.commit(scale_readings(), [weighing(scale_readings())])
    async with running(sender_of(store, server)) as sender:
        await until(lambda: len(server.points) == 7)
        await until(lambda: sender.state.sending is Sending.UP_TO_DATE)
        await store.commit(scale_readings(START_US + 1, count=2), [])
        await until(lambda: len(server.points) == 9)
        assert sender.state.sent_us == START_US
        await until(lambda: depth(store) == 0)


class CountingOutbox(Outbox):
    """Remembers how often it was asked for what waits, by the page and by its number."""

    pages = counts = 0

    async def waiting(self, after: int, limit: int) -> list[Consignment]:
        self.pages += 1
        return await super().waiting(after, limit)

    async def depth(self) -> int:
        self.counts += 1
        return await super().depth()


@pytest.mark.asyncio
async def test_a_long_backlog_is_not_counted_after_every_page(
    store: Store, server: ScriptedServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("collector.store.influx.sender.MOST_COMMITS", 10)
    await commit(store, 200)
    sender = sender_of(store, server)
    sender.outbox = outbox = CountingOutbox(store, TARGET)
    async with running(sender):
        await until(lambda: sender.state.waiting > 0)
        assert outbox.counts == 1
        await until(lambda: sender.state.sending is Sending.UP_TO_DATE)
    assert sender.state.waiting == 0
    assert outbox.pages > 20
    assert outbox.counts < outbox.pages / 2


@pytest.mark.asyncio
async def test_a_server_that_is_away_costs_nothing(store: Store, server: ScriptedServer) -> None:
    server.trouble = UnreachableError("It takes no connection.")
    await commit(store, 700)
    async with running(sender_of(store, server)) as sender:
        await until(lambda: sender.state.sending is Sending.AWAY and sender.state.waiting == 700)
        assert sender.state.reason == "It takes no connection."
        assert sender.state.trouble_us == START_US
        server.trouble = None
        await until(lambda: sender.state.sending is Sending.UP_TO_DATE)
        assert sender.state == SenderState(TARGET, Sending.UP_TO_DATE, sent_us=START_US)
    assert len(server.points) == 2100
    assert set(server.points.values()) == {1}


@pytest.mark.asyncio
async def test_what_a_person_has_to_see_to_keeps_everything(
    store: Store, server: ScriptedServer
) -> None:
    server.trouble = MisconfiguredError("correct the token")
    await commit(store, 2)
    async with running(sender_of(store, server)) as sender:
        await until(lambda: sender.state.sending is Sending.MISCONFIGURED)
        await until(lambda: sender.state.waiting == 2)
    assert await Outbox(store, TARGET).refusals() == 0


@pytest.mark.asyncio
async def test_what_is_refused_is_set_aside_with_its_reason(
    store: Store, server: ScriptedServer
) -> None:
    server.refuses = lambda line: "value=180.001 " in line
    await commit(store, 2)
    async with running(sender_of(store, server)) as sender:
        await until(lambda: sender.state.refused == 2 and sender.state.waiting == 0)
    refused = await Outbox(store, TARGET).refused(10)
    assert {refusal.reason for refusal in refused} == {"field type conflict"}
    assert all(f"channel={SCALE}" in refusal.body for refusal in refused)
    assert {refusal.refused_us for refusal in refused} == {START_US}
    assert len(server.points) == 4


@pytest.mark.asyncio
async def test_what_was_sent_but_not_confirmed_is_sent_again_the_same(
    store: Store, server: ScriptedServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    await commit(store, 2)
    lost = asyncio.Event()
    first = sender_of(store, server)

    async def not_now(*_: object) -> None:
        lost.set()
        await asyncio.sleep(60)

    monkeypatch.setattr(first.outbox, "sent", not_now)  # the service ends just then
    async with running(first):
        await asyncio.wait_for(lost.wait(), 5)
    once = dict(server.points)
    async with running(sender_of(store, server)) as again:
        await until(lambda: again.state.sending is Sending.UP_TO_DATE)
    assert server.points == dict.fromkeys(once, 2)


@pytest.mark.asyncio
async def test_a_channel_that_the_config_has_no_more_keeps_its_tags(
    store: Store, server: ScriptedServer
) -> None:
    gone = Channel("old-scale", "attic", Role.SCALE, None)
    await store.commit([], [msgspec.structs.replace(lot_opened(), channels=(gone,))])
    await store.commit(scale_readings(channel="old-scale", count=1), [])
    await store.commit(scale_readings(channel="stranger", count=1), [])
    async with running(sender_of(store, server)):
        await until(lambda: len(server.points) == 3)
    heads = {line.partition(" ")[0] for line in server.points}
    assert "reading,bench=attic,channel=old-scale,role=scale" in heads
    assert "reading,channel=stranger" in heads


@pytest.mark.asyncio
async def test_an_end_does_not_wait_for_a_server_that_does_not_answer(
    store: Store, server: ScriptedServer
) -> None:
    loop, asked, never = asyncio.get_running_loop(), asyncio.Event(), threading.Event()

    def hang(_: str) -> bool:
        loop.call_soon_threadsafe(asked.set)
        return never.wait(PATIENCE_S)

    server.refuses = hang
    await store.commit(scale_readings(count=1), [])
    async with running(sender_of(store, server)):
        await asyncio.wait_for(asked.wait(), PATIENCE_S)
        began_s = loop.time()
    assert loop.time() - began_s < PATIENCE_S / 2
    never.set()


def test_waits_for_a_server_that_is_away_grow_to_a_minute(
    store: Store, server: ScriptedServer
) -> None:
    sender, away = sender_of(store, server), UnreachableError("away")
    waits = [sender._backed_off_s(away) for _ in range(50)]
    for bound, wait_s in zip([1, 2, 4, 8, 16, 32, *[60] * 44], waits, strict=True):
        assert bound / 2 <= wait_s <= bound
    assert len(set(waits[10:])) > 30, "benches that lost it together do not come back together"


@pytest.mark.parametrize(("asked_s", "waits_s"), [(17.0, 17.0), (3600.0, 60.0)])
def test_a_server_that_says_when_is_asked_then_or_after_a_minute(
    store: Store, server: ScriptedServer, asked_s: float, waits_s: float
) -> None:
    assert sender_of(store, server)._backed_off_s(UnreachableError("busy", asked_s)) == waits_s
