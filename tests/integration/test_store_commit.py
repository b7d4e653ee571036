import asyncio
import math
import sqlite3
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import cast

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_samples import (
    LOT,
    RECIPE,
    SCALE,
    START_US,
    alarm_raised,
    lot_opened,
    recipe_kept,
    scale_readings,
    weighing,
)

from collector.errors import StoreError
from collector.readings import Quality, Reading
from collector.store import History, Store
from collector.store.verify import verify


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(tmp_path / "data")
    yield store
    store.close()


@pytest.fixture
def history(store: Store) -> History:
    return History(store.folder)


@pytest.mark.asyncio
async def test_events_are_numbered_in_the_order_given(store: Store, history: History) -> None:
    assert await store.commit([], [recipe_kept(), lot_opened()]) == [1, 2]
    assert await store.commit(scale_readings(), []) == []
    assert await store.commit([], [alarm_raised("a")]) == [3]
    assert [stored.event for stored in history.events_after(1, 9)] == [
        lot_opened(),
        alarm_raised("a"),
    ]


@pytest.mark.asyncio
async def test_a_commit_is_seen_at_once_from_any_thread(store: Store, history: History) -> None:
    for n in range(1, 20):
        await store.commit([Reading(SCALE, n, n)], [alarm_raised(f"a{n}")])
        seen = await asyncio.gather(*(asyncio.to_thread(history.last_seq) for _ in range(3)))
        assert seen == [n, n, n]
        assert history.last_reading_us([SCALE]) == n


@pytest.mark.asyncio
async def test_a_reading_delivered_twice_is_stored_once(store: Store, history: History) -> None:
    first = Reading(SCALE, START_US, 100, Quality.IN_MOTION)
    again = Reading(SCALE, START_US, 999)
    await store.commit([first, first], [])
    await store.commit([again], [])
    assert list(history.bench_readings([SCALE], START_US, START_US)) == [first]


@pytest.mark.asyncio
async def test_one_time_on_two_channels_is_two_readings(store: Store, history: History) -> None:
    await store.commit([Reading("a", 1, 5), Reading("b", 1, 6)], [])
    assert list(history.bench_readings(["b", "a"], 1, 1)) == [
        Reading("a", 1, 5),
        Reading("b", 1, 6),
    ]


@pytest.mark.parametrize("value", [math.nan, math.inf, 12.5, "12.5 g", None])
@pytest.mark.asyncio
async def test_only_whole_numbers_can_be_stored_as_a_value(store: Store, value: object) -> None:
    wrong = Reading(SCALE, 2, cast("int", value))
    with pytest.raises(StoreError, match="breaks a rule of the tables"):
        await store.commit([Reading(SCALE, 1, 1), wrong], [alarm_raised("a")])
    history = History(store.folder)
    assert history.last_reading_us([SCALE]) is None
    assert history.last_seq() == 0


@pytest.mark.asyncio
async def test_a_lot_that_is_there_already_is_refused_whole(store: Store) -> None:
    await store.commit([], [lot_opened()])
    with pytest.raises(StoreError, match=r"UNIQUE constraint failed: lot\.id"):
        await store.commit(scale_readings(), [alarm_raised("a"), lot_opened()])
    assert History(store.folder).last_seq() == 1
    assert History(store.folder).last_reading_us([SCALE]) is None
    assert verify(store.folder) == []


@pytest.mark.asyncio
async def test_a_recipe_whose_document_is_no_json_never_enters_the_journal(store: Store) -> None:
    with pytest.raises(StoreError, match="json_valid"):
        await store.commit([], [recipe_kept(document=b"not json")])
    assert History(store.folder).events_after(0, 9) == []


@pytest.mark.asyncio
async def test_what_does_not_fit_64_bits_takes_the_whole_batch_back(store: Store) -> None:
    with pytest.raises(OverflowError):
        await store.commit([Reading("new", 1, 1), Reading("new", 2, 2**63)], [alarm_raised("a")])
    assert await store.commit([Reading("new", 1, 1)], [alarm_raised("a")]) == [1]


@pytest.mark.asyncio
async def test_the_caller_may_go_on_filling_its_lists(store: Store, history: History) -> None:
    readings = scale_readings(count=3)
    waiting = asyncio.create_task(store.commit(readings, []))
    await asyncio.sleep(0)
    readings.clear()
    await waiting
    assert history.readings(SCALE, 0, 2**62).times.size == 3


@pytest.mark.asyncio
async def test_commits_from_many_tasks_are_each_whole(store: Store, history: History) -> None:
    await store.commit([], [lot_opened()])
    batches = [scale_readings(START_US + n * 10_000) for n in range(30)]
    seqs = await asyncio.gather(*(store.commit(batch, [weighing(batch)]) for batch in batches))
    assert sorted(seq for (seq,) in seqs) == list(range(2, 32))
    for batch, (seq,) in zip(batches, seqs, strict=True):
        assert history.events_after(seq - 1, 1)[0].event == weighing(batch)


@pytest.mark.asyncio
async def test_a_reader_never_sees_an_event_without_its_readings(store: Store) -> None:
    await store.commit([], [lot_opened()])
    done = threading.Event()

    def watch() -> list[int]:
        seen = []
        while not done.is_set():
            assert verify(store.folder) == []
            seen.append(History(store.folder).last_seq())
        return seen

    watching = asyncio.create_task(asyncio.to_thread(watch))
    for n in range(150):
        batch = scale_readings(START_US + n * 10_000)
        await store.commit(batch, [weighing(batch)])
    done.set()
    assert len(set(await watching)) > 1


@pytest.mark.asyncio
async def test_what_was_committed_is_there_after_reopening(tmp_path: Path) -> None:
    for n in range(1, 4):
        store = Store.open(tmp_path)
        assert await store.commit([Reading(SCALE, n, n)], [alarm_raised(f"a{n}", None)]) == [n]
        store.close()
    assert History(tmp_path).readings(SCALE, 0, 9).values.tolist() == [1, 2, 3]
    assert verify(tmp_path) == []


@pytest.mark.asyncio
async def test_every_commit_is_synced_and_only_the_writer_writes(store: Store) -> None:
    def pragmas() -> list[int | str]:
        names = ("journal_mode", "synchronous", "mmap_size", "foreign_keys")
        connection = store._ledger.connection
        return [connection.execute(f"PRAGMA {name}").fetchone()[0] for name in names]

    # 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous
    assert store._thread.submit(pragmas).result() == ["wal", 2, 0, 1]
    with pytest.raises(sqlite3.ProgrammingError, match="created in a thread"):
        store._ledger.connection.execute("SELECT 1")


@pytest.mark.asyncio
async def test_a_closed_store_refuses_commits(store: Store) -> None:
    store.close()
    store.close()
    with pytest.raises(StoreError, match="is closed"):
        await store.commit([], [alarm_raised("a")])


@pytest.mark.asyncio
async def test_closing_waits_for_the_commits_under_way(store: Store) -> None:
    waiting = asyncio.create_task(store.commit(scale_readings(), [lot_opened()]))
    await asyncio.sleep(0)
    store.close()
    assert await waiting == [1]
    assert History(store.folder).lot(LOT).recipe == RECIPE.name


@pytest.mark.asyncio
async def test_an_empty_batch_writes_nothing(store: Store) -> None:
    wal = store.folder / "pourkeep.db-wal"
    await store.commit([], [lot_opened()])
    before = wal.stat().st_size
    assert await store.commit([], []) == []
    assert wal.stat().st_size == before


@pytest.mark.asyncio
async def test_an_event_comes_back_as_it_was(store: Store, history: History) -> None:
    await store.commit([], [recipe_kept(document=b'{"a":   [1, 2]}')])
    (stored,) = history.events_after(0, 1)
    assert msgspec.json.encode(stored.event) == msgspec.json.encode(
        recipe_kept(document=b'{"a":   [1, 2]}')
    )


INT64 = st.integers(-(2**63), 2**63 - 1)
READINGS = st.builds(
    Reading,
    channel=st.sampled_from(["a", "b", "Ä 3"]),
    taken_us=st.integers(0, 6) | INT64,
    value=INT64,
    quality=st.sampled_from(Quality),
)


@given(batches=st.lists(st.lists(READINGS, max_size=8), max_size=4))
@settings(max_examples=40, deadline=None)
def test_whatever_arrives_the_first_reading_of_a_channel_and_time_is_kept(
    batches: list[list[Reading]],
) -> None:
    kept: dict[tuple[int, str], Reading] = {}
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(Path(folder))
        for batch in batches:
            asyncio.run(store.commit(batch, []))
            for reading in batch:
                kept.setdefault((reading.taken_us, reading.channel), reading)
        stored = History(Path(folder)).bench_readings(["a", "b", "Ä 3"], -(2**63), 2**63 - 1)
        assert list(stored) == [kept[key] for key in sorted(kept)]
        store.close()
