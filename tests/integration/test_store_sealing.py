"""Rows become blocks, and nothing that is read changes by it."""

import asyncio
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import msgspec
import pytest
from sealing_samples import (
    DAY_US,
    HOUR_US,
    POT,
    S_US,
    SCALE,
    SMALL,
    START_US,
    all_done,
    asked,
    blocks,
    fed,
    opened,
    readings,
    rows,
    stored,
)

from collector.errors import StoreError
from collector.readings import Reading
from collector.retention import Retention
from collector.store import History, ReadingSpan, stored_readings
from collector.store.blocks import Block, unpack
from collector.store.verify import verify

pytestmark = pytest.mark.asyncio

SETTLED_US = START_US + 3 * HOUR_US
QUIET_US = START_US + 2 * DAY_US


def later(reading: Reading) -> Reading:
    return msgspec.structs.replace(reading, late=True)


async def test_settled_readings_are_sealed_in_full_blocks_and_the_rest_stay_rows(
    tmp_path: Path,
) -> None:
    made = readings(250)
    with opened(tmp_path) as store:
        await store.commit(made, [])
        await all_done(store, SETTLED_US)
        assert (blocks(tmp_path), rows(tmp_path)) == ([100, 100], 50)
        assert stored(tmp_path) == fed(tmp_path) == made
    assert verify(tmp_path) == []


async def test_a_block_is_sealed_once_its_last_reading_is_two_hours_old(tmp_path: Path) -> None:
    made = readings(100)
    due_us = made[-1].taken_us + 2 * HOUR_US
    with opened(tmp_path) as store:
        await store.commit(made, [])
        assert not await store.maintain(due_us - 1)
        assert await store.maintain(due_us)


async def test_each_call_seals_one_block_and_takes_the_channels_in_turn(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        await store.commit(readings(200) + readings(200, channel=POT), [])
        done = await all_done(store, SETTLED_US)
    sealed = [step.sealed for step in done if step.sealed is not None]
    assert [(s.readings, s.blocks) for s in sealed] == [(100, 1)] * 4
    assert {sealed[0].channel, sealed[1].channel} == {SCALE, POT}
    assert str(done[0]) == f"100 readings of {sealed[0].channel} sealed"


async def test_what_is_left_of_a_silent_channel_is_sealed_after_a_day(tmp_path: Path) -> None:
    made = readings(130)
    with opened(tmp_path) as store:
        await store.commit(made, [])
        await all_done(store, made[-1].taken_us + DAY_US - 1)
        assert (blocks(tmp_path), rows(tmp_path)) == ([100], 30)
        await all_done(store, made[-1].taken_us + DAY_US)
        assert (blocks(tmp_path), rows(tmp_path)) == ([100, 30], 0)
        assert stored(tmp_path) == made
        await store.commit(readings(1, QUIET_US), [])
        assert History(tmp_path).last_reading_us([SCALE]) == QUIET_US


async def test_the_last_reading_is_found_in_the_blocks_where_no_row_is_left(tmp_path: Path) -> None:
    made = readings(130)
    with opened(tmp_path) as store:
        await store.commit(made, [])
        await all_done(store, QUIET_US)
    assert rows(tmp_path) == 0
    assert History(tmp_path).last_reading_us([SCALE, "nobody"]) == made[-1].taken_us


async def test_the_last_reading_that_did_not_come_late_is_found_in_whatever_block(
    tmp_path: Path,
) -> None:
    made = readings(130)
    ahead = [later(reading) for reading in readings(120, START_US + DAY_US)]
    with opened(tmp_path) as store:
        await store.commit([*made, *ahead], [])
        await all_done(store, START_US + 4 * DAY_US)
        assert rows(tmp_path) == 0
        assert History(tmp_path).last_judged_us([SCALE]) == made[-1].taken_us
        await store.commit([later(Reading(SCALE, START_US + 9 * DAY_US, 0))], [])
    assert History(tmp_path).last_judged_us([SCALE]) == made[-1].taken_us


async def test_a_reading_delivered_again_after_it_was_sealed_is_stored_once(tmp_path: Path) -> None:
    made = readings(130)
    again = [msgspec.structs.replace(reading, value=-1) for reading in made]
    with opened(tmp_path) as store:
        await store.commit(made, [])
        await all_done(store, QUIET_US)
        await store.commit(again, [])
    with opened(tmp_path) as store:  # what is sealed is known after a restart too
        await store.commit(again, [])
        await all_done(store, QUIET_US)
    assert (stored(tmp_path), rows(tmp_path)) == (made, 0)
    assert verify(tmp_path) == []


async def test_readings_that_come_after_their_time_was_sealed_join_their_block(
    tmp_path: Path,
) -> None:
    made = readings(300)
    missing, first = made[10:300:40], made[:300]
    for reading in missing:
        first.remove(reading)
    with opened(tmp_path) as store:
        await store.commit(first, [])
        await all_done(store, QUIET_US)
        await store.commit([later(reading) for reading in missing], [])
        assert rows(tmp_path) == len(missing)
        whole = [later(r) if r in missing else r for r in made]
        assert stored(tmp_path) == whole
        await all_done(store, QUIET_US)
    assert rows(tmp_path) == 0
    assert sum(blocks(tmp_path)) == 300
    assert stored(tmp_path) == whole
    assert verify(tmp_path) == []


async def test_an_hour_that_a_bench_sends_later_is_sealed_between_the_blocks(
    tmp_path: Path,
) -> None:
    made = readings(1500)
    with opened(tmp_path) as store:
        await store.commit(made[:200] + made[1300:], [])
        await all_done(store, QUIET_US)
        assert blocks(tmp_path) == [100, 100, 100, 100]
        await store.commit([later(reading) for reading in made[200:1300]], [])
        await all_done(store, QUIET_US)
    assert rows(tmp_path) == 0
    assert max(blocks(tmp_path)) <= 125
    assert len(blocks(tmp_path)) < 25
    assert [r.taken_us for r in stored(tmp_path)] == [r.taken_us for r in made]
    assert verify(tmp_path) == []


async def test_readings_from_before_the_first_block_are_sealed_too(tmp_path: Path) -> None:
    made = readings(150)
    with opened(tmp_path) as store:
        await store.commit(made[50:], [])
        await all_done(store, QUIET_US)
        await store.commit(made[:50], [])
        await all_done(store, QUIET_US)
    assert (stored(tmp_path), rows(tmp_path)) == (made, 0)
    assert verify(tmp_path) == []


async def test_late_readings_are_shown_and_not_fed_to_a_bench(tmp_path: Path) -> None:
    made = readings(120)
    late = [later(Reading(SCALE, reading.taken_us + 500_000, 5)) for reading in made]
    with opened(tmp_path) as store:
        await store.commit(made + late, [])
        for _sealed in range(2):
            assert len(stored(tmp_path)) == 240
            assert fed(tmp_path) == made
            await all_done(store, QUIET_US)
    assert rows(tmp_path) == 0


async def test_a_replay_of_blocks_and_rows_goes_on_while_they_are_sealed(tmp_path: Path) -> None:
    made = readings(400)
    both = sorted(made + readings(400, START_US + 1, POT), key=lambda r: r.taken_us)
    with opened(tmp_path) as store:
        await store.commit(both, [])
        replay = History(tmp_path).bench_readings([SCALE, POT], START_US, 2**62)
        seen = [next(replay) for _ in range(30)]
        await all_done(store, QUIET_US)
        assert [*seen, *replay] == both


READS: list[Callable[[Path], list[Reading]]] = [stored, fed]


@pytest.mark.parametrize("read", READS)
async def test_what_is_sealed_between_reading_blocks_and_rows_is_neither_lost_nor_doubled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, read: Callable[[Path], list[Reading]]
) -> None:
    made, read_rows = readings(400), stored_readings._read_rows
    with opened(tmp_path) as store:
        await store.commit(made, [])

        def sealed_before(reader: sqlite3.Connection, *span: int) -> ReadingSpan:
            store._thread.submit(store._ledger.upkeep.seal, QUIET_US).result()
            return read_rows(reader, *span)

        monkeypatch.setattr(stored_readings, "_read_rows", sealed_before)
        for count in range(1, 5):
            assert read(tmp_path) == made
            assert len(blocks(tmp_path)) >= count


async def test_a_span_is_read_from_the_blocks_that_reach_into_it(tmp_path: Path) -> None:
    made = readings(500)
    with opened(tmp_path) as store:
        await store.commit(made, [])
        await all_done(store, QUIET_US)
    damage(tmp_path, 0)
    damage(tmp_path, 4)
    span = History(tmp_path).readings(SCALE, made[150].taken_us, made[320].taken_us)
    assert span.times.tolist() == [r.taken_us for r in made[150:321]]
    with pytest.raises(StoreError, match=f"sealed readings of {SCALE} from 2026-11-25"):
        History(tmp_path).readings(SCALE, made[50].taken_us, made[60].taken_us)


def damage(folder: Path, place: int) -> None:
    """Change one byte of a block, the places counted in the order of time."""
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection, connection:
        found = "SELECT id, amounts FROM block ORDER BY first_us LIMIT 1 OFFSET ?"
        number, amounts = connection.execute(found, (place,)).fetchone()
        changed = bytes([amounts[0] ^ 1]) + amounts[1:]
        connection.execute("UPDATE block SET amounts = ? WHERE id = ?", (changed, number))


async def test_a_damaged_block_costs_no_reading_that_comes_for_its_time(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    made = readings(200)
    late = later(Reading(SCALE, START_US + 500_000, 5))
    with opened(tmp_path) as store:
        await store.commit(made, [])
        await all_done(store, QUIET_US)
        damage(tmp_path, 0)
        await store.commit([late], [])
        await store.commit(readings(100, QUIET_US), [])
        await all_done(store, QUIET_US + 2 * DAY_US)
    assert asked(tmp_path, "SELECT taken_us FROM reading") == [(late.taken_us,)]
    assert blocks(tmp_path) == [100, 100, 100]
    assert "are damaged" in caplog.text


async def test_a_channel_that_cannot_be_sealed_holds_up_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def unprovable(block: Block, name: str) -> ReadingSpan:
        if name == SCALE:
            raise StoreError("This block does not give back what went into it.")
        return unpack(block, name)

    old, new = (readings(100, START_US + n * DAY_US) for n in (0, 9))
    a_week = Retention(keep_us=7 * DAY_US)
    with opened(tmp_path, a_week) as store:
        await store.commit([*old, *readings(100, START_US, POT), *new], [])
        with monkeypatch.context() as patch:
            patch.setattr("collector.store.sealing.unpack", unprovable)
            done = await all_done(store, START_US + 6 * DAY_US)
            done += await all_done(store, START_US + 9 * DAY_US + HOUR_US)
        assert [step.sealed.channel for step in done if step.sealed] == [POT]
        assert sum(step.expired.readings for step in done if step.expired) == 200
        assert caplog.text.count("does not give back") == 1
        assert (stored(tmp_path), rows(tmp_path)) == (new, 100)
        await all_done(store, START_US + 12 * DAY_US)  # what stood in the way is gone
    assert (stored(tmp_path), rows(tmp_path)) == (new, 0)
    assert verify(tmp_path) == []


async def test_commits_and_reads_see_all_readings_while_blocks_are_sealed(tmp_path: Path) -> None:
    made = readings(3000)
    history, seen = History(tmp_path), []

    async def read(store_done: asyncio.Event) -> None:
        while not store_done.is_set():
            span = await asyncio.to_thread(history.readings, SCALE, START_US, 2**62)
            seen.append(span.times.tolist())

    with opened(tmp_path, sealing=msgspec.structs.replace(SMALL, block_readings=20)) as store:
        await store.commit(made, [])
        over = asyncio.Event()
        reader = asyncio.create_task(read(over))
        await all_done(store, QUIET_US)
        over.set()
        await reader
    assert len(seen) > 3
    assert all(times == [r.taken_us for r in made] for times in seen)


async def test_nothing_changes_where_a_block_cannot_be_written(tmp_path: Path) -> None:
    made = readings(100)
    with opened(tmp_path) as store:
        await store.commit(made, [])
        with closing(sqlite3.connect(tmp_path / "pourkeep.db")) as connection, connection:
            connection.execute(
                "CREATE TRIGGER refused BEFORE DELETE ON reading"
                " BEGIN SELECT RAISE(ABORT, 'no'); END"
            )
        with pytest.raises(StoreError):
            await store.maintain(QUIET_US)
        assert (blocks(tmp_path), rows(tmp_path)) == ([], 100)
        with closing(sqlite3.connect(tmp_path / "pourkeep.db")) as connection, connection:
            connection.execute("DROP TRIGGER refused")
        await all_done(store, QUIET_US)
        assert (blocks(tmp_path), rows(tmp_path)) == ([100], 0)


async def test_free_pages_beyond_a_reserve_are_given_back_in_steps(tmp_path: Path) -> None:
    made = [Reading(f"c{n % 8}", START_US + n * S_US, n) for n in range(400_000)]
    with opened(tmp_path, sealing=msgspec.structs.replace(SMALL, block_readings=8192)) as store:
        await store.commit(made, [])
        before = (tmp_path / "pourkeep.db").stat().st_size
        done = await all_done(store, made[-1].taken_us + 2 * DAY_US)
        given_back = [step.returned_bytes for step in done if step.returned_bytes]
        assert len(given_back) > 1
        assert max(given_back) <= 2 * 256 * 4096
    assert (tmp_path / "pourkeep.db").stat().st_size <= before - sum(given_back)
    assert verify(tmp_path) == []


async def test_a_store_whose_blocks_are_gone_is_refused(tmp_path: Path) -> None:
    with opened(tmp_path):
        pass
    with closing(sqlite3.connect(tmp_path / "pourkeep.db")) as connection, connection:
        connection.execute("DROP TABLE block")
    for _again in range(2):  # it leaves the folder free
        with pytest.raises(StoreError, match="no such table"):
            opened(tmp_path).__enter__()


async def test_a_closed_store_cannot_be_maintained(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        pass
    with pytest.raises(StoreError, match="this store is closed"):
        await store.maintain(QUIET_US)
