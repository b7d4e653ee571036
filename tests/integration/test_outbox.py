"""What waits for another place: with the commit it belongs to, until the target has it."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from store_samples import SCALE, alarm_raised, lot_opened, scale_readings, weighing

from api.routers.outbox import OutboxShown
from collector.errors import StoreError
from collector.store import History, Store, StoredEvent
from collector.store.consignments import Refusal
from collector.store.outbox import MOST_REFUSED, Outbox
from collector.store.verify import verify

TARGET = "elsewhere"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(tmp_path, [TARGET])
    yield store
    store.close()


async def two_commits(store: Store) -> None:
    await store.commit([], [lot_opened()])
    readings = scale_readings()
    await store.commit(readings, [weighing(readings), alarm_raised("a")])


@pytest.mark.asyncio
async def test_each_commit_waits_with_its_readings_and_events(store: Store) -> None:
    await two_commits(store)
    opening, rest = await Outbox(store, TARGET).waiting(0, 10)
    readings = tuple(scale_readings())
    assert (opening.readings, opening.events) == ((), (StoredEvent(1, lot_opened()),))
    assert rest.readings == readings
    assert [entry.event for entry in rest.events] == [weighing(scale_readings()), alarm_raised("a")]
    assert [entry.seq for entry in rest.events] == [2, 3]
    assert verify(store.folder) == []


@pytest.mark.asyncio
async def test_what_was_sent_is_forgotten_and_the_rest_stays_over_a_restart(tmp_path: Path) -> None:
    store = Store.open(tmp_path, [TARGET])
    await two_commits(store)
    first, second = await Outbox(store, TARGET).waiting(0, 10)
    await Outbox(store, TARGET).sent([first.id])
    store.close()
    store = Store.open(tmp_path, [TARGET])
    assert await Outbox(store, TARGET).waiting(0, 10) == [second]
    await Outbox(store, TARGET).sent([second.id])
    await store.commit([], [alarm_raised("b")])
    (third,) = await Outbox(store, TARGET).waiting(0, 10)
    assert third.id > second.id, "a late confirmation of the second must not mean the third"
    store.close()


@pytest.mark.asyncio
async def test_a_store_without_targets_keeps_nothing_to_send(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    await two_commits(store)
    assert await Outbox(store, TARGET).depth() == 0
    store.close()


@pytest.mark.asyncio
async def test_a_target_of_some_channels_is_left_nothing_of_the_others(tmp_path: Path) -> None:
    scales, pots = scale_readings(), scale_readings(channel="other-pot")
    store = Store.open(tmp_path, {"all": None, "scales": {SCALE}, "pots": {"other-pot"}})
    await store.commit([*scales, *pots], [])
    await store.commit(scales[:2], [])
    await store.commit(scales[2:3], [lot_opened()])
    left = {
        target: [[*one.readings] for one in await Outbox(store, target).waiting(0, 9)]
        for target in ("all", "scales", "pots")
    }
    store.close()
    assert left == {
        "all": [[*scales, *pots], scales[:2], scales[2:3]],
        "scales": [scales, scales[:2], scales[2:3]],
        "pots": [pots, []],  # the last for its event
    }


@pytest.mark.asyncio
async def test_a_page_begins_after_what_is_on_its_way(store: Store) -> None:
    await two_commits(store)
    outbox = Outbox(store, TARGET)
    (first,) = await outbox.waiting(0, 1)
    (second,) = await outbox.waiting(first.id, 1)
    assert (len(first.events), len(second.events)) == (1, 2)
    assert await outbox.depth() == 2


@pytest.mark.asyncio
async def test_what_was_refused_is_set_aside_with_the_reason(store: Store) -> None:
    await two_commits(store)
    outbox = Outbox(store, TARGET)
    (first, _second) = await outbox.waiting(0, 10)
    refusal = Refusal(1_795_600_000_000_000, "field type conflict", "reading value=1")
    await outbox.sent([first.id], [refusal])
    assert await outbox.refused(10) == [refusal]
    assert (await outbox.depth(), await outbox.refusals()) == (1, 1)


@pytest.mark.asyncio
async def test_only_the_newest_refusals_are_kept_and_the_log_says_what_went(
    store: Store, caplog: pytest.LogCaptureFixture
) -> None:
    outbox = Outbox(store, TARGET)
    await outbox.sent([], [Refusal(n, "no", "x") for n in range(MOST_REFUSED)])
    assert caplog.text == ""
    await outbox.sent([], [Refusal(n, "no", "x") for n in range(MOST_REFUSED, MOST_REFUSED + 5)])
    assert await outbox.refusals() == MOST_REFUSED
    (newest,) = await outbox.refused(1)
    assert newest.refused_us == MOST_REFUSED + 4
    assert [record.getMessage() for record in caplog.records] == [
        "5 of what elsewhere refused were let go, the oldest: no more than 10000 are set aside"
    ]


def test_the_interface_says_how_many_refusals_are_kept() -> None:
    assert "10,000" in str(OutboxShown.model_fields["refused"].description)


@pytest.mark.asyncio
async def test_a_change_that_fails_leaves_everything_as_it_was(store: Store) -> None:
    await two_commits(store)

    def half(connection: sqlite3.Connection) -> None:
        connection.execute("DELETE FROM outbox")
        connection.execute("INSERT INTO nowhere VALUES (1)")

    with pytest.raises(StoreError, match="nowhere"):
        await store.change(half)
    assert await Outbox(store, TARGET).depth() == 2
    assert History(store.folder).last_seq() == 3
