from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from store_samples import (
    BENCH,
    DOCUMENT,
    LOT,
    RECIPE,
    SCALE,
    START_US,
    alarm_acknowledged,
    alarm_raised,
    lot_closed,
    lot_opened,
    recipe_kept,
    scale_readings,
)

from collector.alarm_events import AlarmRaised
from collector.errors import NotFoundError, StoreError
from collector.events import AnyEvent
from collector.lot_events import LotClosed
from collector.readings import Quality, Reading
from collector.store import History, Store, StoredLot, stored_readings
from collector.store.database import reading_from


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(tmp_path)
    yield store
    store.close()


@pytest.fixture
def history(store: Store) -> History:
    return History(store.folder)


@pytest.mark.asyncio
async def test_a_lot_is_open_until_it_is_closed(store: Store, history: History) -> None:
    await store.commit([], [lot_opened()])
    expected = StoredLot(LOT, BENCH, RECIPE.name, 6, START_US, None)
    assert history.open_lots() == [expected]
    assert history.lot(LOT).is_open
    await store.commit([], [lot_closed(), lot_closed(at_us=START_US * 2)])
    assert history.open_lots() == []
    assert history.lot(LOT) == StoredLot(LOT, BENCH, RECIPE.name, 6, START_US, START_US + 9_000_000)


@pytest.mark.asyncio
async def test_the_newest_lot_comes_first(store: Store, history: History) -> None:
    await store.commit([], [lot_opened("b", 2), lot_opened("c", 3), lot_opened("a", 1)])
    assert [lot.id for lot in history.lots()] == ["c", "b", "a"]
    assert [lot.id for lot in history.open_lots()] == ["c", "b", "a"]


@pytest.mark.asyncio
async def test_the_numbers_of_a_day_s_lots_are_found(store: Store, history: History) -> None:
    ids = ["2026-11-25-2", "2026-11-25-10", "2026-11-25-9", "2026-11-25-x", "2026-11-2-5-1"]
    ids += ["2026-11-24-7", "2026-11-26-3", "2026-11-25-1b"]
    await store.commit([], [lot_opened(lot, n) for n, lot in enumerate(ids)])
    assert history.lot_serials("2026-11-25-") == [2, 9, 10]
    assert history.lot_serials("2027-01-01-") == []


@pytest.mark.asyncio
async def test_events_are_found_by_lot_bench_and_class(store: Store, history: History) -> None:
    events: list[AnyEvent] = [
        lot_opened("one", 1),
        lot_opened("two", 2, bench="pier"),
        alarm_raised("a", "one"),
        alarm_raised("b", None),
        lot_closed("one"),
    ]
    await store.commit([], events)
    assert [s.seq for s in history.events("one")] == [1, 3, 5]
    assert [s.event for s in history.events(lot="two")] == [events[1]]
    assert [s.seq for s in history.bench_events(BENCH)] == [1, 3, 4, 5]
    assert [s.seq for s in history.bench_events(BENCH, after_seq=3)] == [4, 5]
    assert [s.event for s in history.events_of([LotClosed, AlarmRaised])] == events[2:]
    assert [s.seq for s in history.events_after(2, 2)] == [3, 4]
    assert history.events("three") == []


@pytest.mark.asyncio
async def test_an_alarm_is_found_with_its_lot_and_bench(store: Store, history: History) -> None:
    await store.commit([], [alarm_raised("a"), alarm_raised("b", None), alarm_acknowledged("a")])
    raised, acknowledged = history.alarm_events("a")
    assert (raised.event.lot, raised.event.bench) == (LOT, BENCH)
    assert acknowledged.event == alarm_acknowledged("a")
    assert [s.seq for s in history.alarm_events()] == [1, 2, 3]
    assert history.alarm_events("c") == []


@pytest.mark.asyncio
async def test_a_recipe_is_given_as_last_kept(store: Store, history: History) -> None:
    await store.commit([], [recipe_kept(1, b"{}"), recipe_kept(2)])
    (recipe,) = history.recipes()
    assert recipe == history.recipe(RECIPE.name)
    assert (recipe.name, recipe.recipe, recipe.updated_us) == (RECIPE.name, RECIPE, 2)
    assert recipe.document.encode() == DOCUMENT


@pytest.mark.asyncio
async def test_what_is_not_there_is_said_by_name(history: History) -> None:
    with pytest.raises(NotFoundError, match="There is no lot 2026-11-25-1"):
        history.lot(LOT)
    with pytest.raises(NotFoundError, match="There is no recipe named 'Gorse'"):
        history.recipe("Gorse")


@pytest.mark.asyncio
async def test_a_span_of_readings_includes_both_ends(store: Store, history: History) -> None:
    readings = [Reading(SCALE, t, -t, Quality(t % 4)) for t in (5, 1, 3, 2, 4)]
    await store.commit([*readings, Reading("other", 3, 7)], [])
    span = history.readings(SCALE, 2, 4)
    assert span.times.tolist() == [2, 3, 4]
    assert span.values.tolist() == [-2, -3, -4]
    assert span.qualities.tolist() == [2, 3, 0]
    assert [array.dtype for array in span] == [np.int64, np.int64, np.uint8]


@pytest.mark.asyncio
async def test_a_channel_without_readings_gives_empty_arrays(history: History) -> None:
    times, values, qualities = history.readings("nobody", 0, 9)
    assert (times.size, values.size, qualities.size) == (0, 0, 0)
    assert times.dtype == np.int64
    assert history.last_reading_us(["nobody"]) is None
    assert list(history.bench_readings(["nobody"], 0, 9)) == []


@pytest.mark.asyncio
async def test_the_largest_values_come_back_whole(store: Store, history: History) -> None:
    await store.commit([Reading(SCALE, 2**63 - 1, -(2**63)), Reading(SCALE, -1, 2**63 - 1)], [])
    span = history.readings(SCALE, -(2**63), 2**63 - 1)
    assert span.times.tolist() == [-1, 2**63 - 1]
    assert span.values.tolist() == [2**63 - 1, -(2**63)]


@pytest.mark.parametrize("chunk", [1, 2, 7, 4096])
@pytest.mark.asyncio
async def test_a_bench_s_readings_come_in_time_order_whatever_the_chunk(
    store: Store, history: History, monkeypatch: pytest.MonkeyPatch, chunk: int
) -> None:
    monkeypatch.setattr(stored_readings, "CHUNK", chunk)
    readings = [Reading(f"c{t // 10 % 3}", t, t * 10, Quality(t % 2)) for t in range(100)]
    await store.commit(readings[::-1], [])
    assert list(history.bench_readings(["c2", "c0", "c1", "c0"], 10, 89)) == readings[10:90]


@pytest.mark.asyncio
async def test_a_replay_and_the_service_do_not_hinder_each_other(
    store: Store, history: History, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stored_readings, "CHUNK", 4)
    await store.commit(scale_readings(1, count=12), [])
    replay = history.bench_readings([SCALE], 0, 2**62)
    first = next(replay)
    await store.commit(scale_readings(12_001, count=2), [])
    rest = list(replay)
    assert [first, *rest] == [
        *scale_readings(1, count=12),
        Reading(SCALE, 12_001, 180_000),
        Reading(SCALE, 13_001, 180_001),
    ]


@pytest.mark.asyncio
async def test_the_latest_reading_of_several_channels_counts(
    store: Store, history: History
) -> None:
    await store.commit([Reading("a", 5, 0), Reading("b", 9, 0), Reading("c", 20, 0)], [])
    assert history.last_reading_us(["a", "b", "nobody"]) == 9
    assert history.last_reading_us([]) is None


@pytest.mark.asyncio
async def test_the_latest_time_is_not_that_of_a_reading_that_came_late(
    store: Store, history: History
) -> None:
    late = Reading("a", 2**60, 0, Quality.BAD, late=True)
    await store.commit([Reading("a", 5, 0, Quality.BAD), late], [])
    assert history.last_judged_us(["a", "nobody"]) == history.latest_us(["a", "nobody"]) == 5
    assert history.last_judged_us([]) is None
    await store.commit([], [lot_opened(at_us=7)])
    assert history.latest_us(["a"]) == 7


def test_a_folder_without_a_store_is_said_to_be_one(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"there is no pourkeep\.db here"):
        History(tmp_path / "nowhere").lots()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.asyncio
async def test_a_folder_may_have_any_name(tmp_path: Path) -> None:
    folder = tmp_path / "pour day 50%20 #1?mode=rw ä"
    store = Store.open(folder)
    await store.commit([], [lot_opened()])
    store.close()
    assert History(folder).last_seq() == 1
    assert {path.name for path in folder.iterdir()} >= {"pourkeep.db", "pourkeep.lock"}


@pytest.mark.asyncio
async def test_a_read_cannot_write(store: Store, history: History) -> None:
    await store.commit([], [lot_opened()])
    with (
        pytest.raises(StoreError, match="may not be written"),
        reading_from(store.folder) as connection,
    ):
        connection.execute("DELETE FROM lot")
    assert len(history.lots()) == 1
