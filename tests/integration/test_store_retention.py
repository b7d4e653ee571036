"""Old readings go by age and by space, never those of a lot that is open or kept."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import msgspec
import numpy as np
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
    opened,
    readings,
    rows,
    stored,
)
from store_samples import BENCH, lot_closed, lot_opened, weighing

from collector.events import AnyEvent
from collector.lot_events import LotKept, LotReleased
from collector.readings import Reading
from collector.retention import Retention
from collector.service_events import ReadingsExpired
from collector.store import History, Store
from collector.store.verify import verify
from collector.store.waiting_bytes import waiting_bytes

pytestmark = pytest.mark.asyncio

DAYS = 6
A_WEEK = Retention(keep_us=7 * DAY_US)
MIDNIGHT_US = START_US // DAY_US * DAY_US


def day(number: int) -> list[Reading]:
    return readings(200, START_US + number * DAY_US)


def lot(number: int) -> tuple[list[Reading], list[AnyEvent]]:
    """Return a lot of one day: an opening, a weighing, a closing, around its readings."""
    name, made = f"lot-{number}", day(number)
    events: list[AnyEvent] = [
        lot_opened(name, made[0].taken_us - 1),
        weighing(made[20:30], name),
        lot_closed(name, made[-1].taken_us + 1),
    ]
    return made, events


async def fill(store: Store, days: Sequence[int] = range(DAYS)) -> None:
    for number in days:
        await store.commit(*lot(number))
    await store.commit([], [])


def kept(number: int) -> LotKept:
    at_us = START_US + DAYS * DAY_US
    return LotKept(at_us=at_us, bench=BENCH, lot=f"lot-{number}", note="complaint")


def expiries(folder: Path) -> list[ReadingsExpired]:
    events = History(folder).events_of([ReadingsExpired])
    return [e.event for e in events if isinstance(e.event, ReadingsExpired)]


def days_left(folder: Path) -> dict[int, int]:
    """Return how many readings of each day are left."""
    found: dict[int, int] = {}
    for reading in stored(folder):
        number = (reading.taken_us - START_US) // DAY_US
        found[number] = found.get(number, 0) + 1
    return found


async def test_nothing_is_removed_unless_somebody_wants_it(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        await fill(store)
        await all_done(store, START_US + 40_000 * DAY_US)
    assert days_left(tmp_path) == dict.fromkeys(range(DAYS), 200)
    assert expiries(tmp_path) == []


@pytest.mark.parametrize("sealed_first", [True, False])
async def test_readings_older_than_the_age_are_removed_and_the_journal_says_so(
    tmp_path: Path, sealed_first: bool
) -> None:
    now_us = MIDNIGHT_US + 10 * DAY_US
    with opened(tmp_path) as store:
        await fill(store)
        if sealed_first:
            await all_done(store, now_us)
    with opened(tmp_path, A_WEEK) as store:
        while await store.maintain(now_us):
            pass
    assert days_left(tmp_path) == dict.fromkeys(range(3, DAYS), 200)
    told = expiries(tmp_path)
    assert sum(event.readings for event in told) == 600
    assert {(event.bench, event.lot, event.used_bytes) for event in told} == {(None, None, None)}
    assert max(event.before_us for event in told) <= MIDNIGHT_US + 3 * DAY_US
    assert verify(tmp_path) == []


async def test_a_day_is_told_once_and_not_again_in_the_next_hours(tmp_path: Path) -> None:
    with opened(tmp_path, A_WEEK) as store:
        await fill(store)
        for hour in range(24):
            await all_done(store, MIDNIGHT_US + 9 * DAY_US + hour * HOUR_US)
        assert len(expiries(tmp_path)) == 1
        await all_done(store, MIDNIGHT_US + 10 * DAY_US)
        assert len(expiries(tmp_path)) == 2


async def test_a_kept_lot_and_an_open_one_stay(tmp_path: Path) -> None:
    with opened(tmp_path, A_WEEK) as store:
        await fill(store)
        opening = lot_opened("open", START_US + 3 * DAY_US - 1, "other")
        await store.commit([], [kept(1), opening])
        await all_done(store, START_US + 100 * DAY_US)
    assert days_left(tmp_path) == dict.fromkeys([1, 3, 4, 5], 200)
    assert verify(tmp_path) == []


async def test_a_lot_that_is_released_goes_with_the_others(tmp_path: Path) -> None:
    with opened(tmp_path, A_WEEK) as store:
        await fill(store)
        await store.commit([], [kept(1)])
        await all_done(store, START_US + 100 * DAY_US)
        assert days_left(tmp_path) == {1: 200}
        released = LotReleased(at_us=START_US + 100 * DAY_US, bench=BENCH, lot="lot-1")
        await store.commit([], [released])
        await all_done(store, START_US + 101 * DAY_US)
    assert days_left(tmp_path) == {}
    assert verify(tmp_path) == []


async def test_the_oldest_blocks_go_until_there_is_space(tmp_path: Path) -> None:
    now_us = START_US + 70 * DAY_US
    blocks_of_1000 = msgspec.structs.replace(SMALL, block_readings=1000)
    with opened(tmp_path, sealing=blocks_of_1000) as store:
        for number in range(60):
            await store.commit(noise(1000, START_US + number * DAY_US), [])
        await all_done(store, now_us)
        used = await used_bytes(store)
    most = used - 100_000
    with opened(tmp_path, Retention(most_bytes=most), blocks_of_1000) as store:
        done = await all_done(store, now_us)
        assert most - 30_000 < await used_bytes(store) <= most
    left = sorted(days_left(tmp_path))
    assert left == list(range(left[0], 60))
    assert 10 < left[0] < 20
    told = expiries(tmp_path)
    assert [step.expired for step in done if step.expired] == told
    assert told[-1].used_bytes is not None
    assert told[-1].used_bytes <= most
    assert verify(tmp_path) == []


def noise(count: int, first_us: int) -> list[Reading]:
    """Return readings that no codec makes smaller than eight bytes each."""
    values = np.random.default_rng(first_us).integers(-(2**63), 2**63 - 1, count).tolist()
    return [Reading(SCALE, first_us + n * S_US, value) for n, value in enumerate(values)]


async def used_bytes(store: Store) -> int:
    pragmas = ("page_count", "freelist_count", "page_size")
    pages, free, size = (asked(store.folder, f"PRAGMA {name}")[0][0] for name in pragmas)
    return (pages - free) * size


async def test_for_space_too_a_kept_lot_stays_and_the_log_says_why(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    with opened(tmp_path, Retention(most_bytes=1)) as store:
        await fill(store)
        await store.commit([], [kept(0), kept(4)])
        await all_done(store, START_US + 70 * DAY_US)
        await all_done(store, START_US + 70 * DAY_US + S_US)
    assert days_left(tmp_path) == {0: 200, 4: 200}
    assert caplog.text.count("more than the 1 it may") == 1
    assert verify(tmp_path) == []


async def test_an_outbox_that_nobody_empties_costs_no_history_and_the_log_names_it(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    with opened(tmp_path, Retention(most_bytes=500_000)) as store:
        await fill(store)

        def leave(connection: sqlite3.Connection) -> None:
            body = "INSERT INTO outbox (target, readings) VALUES ('away', zeroblob(816))"
            for _commit in range(1500):
                connection.execute(body)
            line = "INSERT INTO refused (target, refused_us, reason, body) VALUES ('away', 1, ?, ?)"
            connection.executemany(line, [("no such field", "x" * 200)] * 1500)

        await store.change(leave)
        await all_done(store, START_US + 70 * DAY_US)
        await all_done(store, START_US + 70 * DAY_US + S_US)
        assert await used_bytes(store) > 1_500_000
    assert days_left(tmp_path) == dict.fromkeys(range(DAYS), 200)
    assert expiries(tmp_path) == []
    assert caplog.text.count("wait to be sent elsewhere") == 1
    assert "for these no reading is removed" in caplog.text
    assert "open or kept" not in caplog.text


@pytest.mark.parametrize("size", [40, 300, 816, 2500, 4000, 4100, 5000, 12_000])
async def test_what_waits_is_measured_within_a_tenth(tmp_path: Path, size: int) -> None:
    with opened(tmp_path) as store:

        def leave(connection: sqlite3.Connection) -> int:
            rows = [("influx", b"x" * (size + n % 20)) for n in range(1000)]
            connection.executemany("INSERT INTO outbox (target, readings) VALUES (?, ?)", rows)
            return waiting_bytes(connection)

        before = await used_bytes(store)
        estimate = await store.change(leave)
        assert estimate == pytest.approx(await used_bytes(store) - before, rel=0.1)


async def test_an_empty_outbox_takes_nothing(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        assert await store.change(waiting_bytes) == 0


async def test_what_was_done_is_said_in_a_line(tmp_path: Path) -> None:
    with opened(tmp_path, A_WEEK) as store:
        await fill(store)
        done = await all_done(store, START_US + 70 * DAY_US)
        assert not await store.maintain(START_US + 70 * DAY_US)
    lines = {str(step) for step in done}
    assert lines == {f"100 readings of {SCALE} sealed", "1200 old readings removed"}


async def test_much_that_is_old_is_removed_in_steps(tmp_path: Path) -> None:
    tiny = msgspec.structs.replace(SMALL, block_readings=2)
    with opened(tmp_path, sealing=tiny) as store:
        await store.commit(day(0), [])
        await all_done(store, START_US + 3 * DAY_US)
        assert len(blocks(tmp_path)) == 100
    with opened(tmp_path, A_WEEK, tiny) as store:
        await all_done(store, START_US + 70 * DAY_US)
    assert [event.readings for event in expiries(tmp_path)] == [128, 72]
    assert (blocks(tmp_path), rows(tmp_path)) == ([], 0)


async def statements(store: Store, now_us: int) -> list[str]:
    """Maintain once; return what SQLite was asked for."""
    asked: list[str] = []
    await store.change(lambda connection: connection.set_trace_callback(asked.append))
    await store.maintain(now_us)
    await store.change(lambda connection: connection.set_trace_callback(None))
    return asked


async def keep_many(store: Store, lots: int) -> None:
    """Keep as many lots of a second each, a minute apart."""
    for number in range(lots):
        name, at_us = f"many-{number}", START_US + number * 60 * S_US
        edges: list[AnyEvent] = [lot_opened(name, at_us), lot_closed(name, at_us + S_US)]
        keeping = LotKept(at_us=at_us + S_US, bench=BENCH, lot=name, note="complaint")
        await store.commit([], [*edges, keeping])


async def test_many_kept_lots_cost_nothing_where_no_row_is_old(tmp_path: Path) -> None:
    now_us = START_US + 30 * DAY_US
    with opened(tmp_path, A_WEEK) as store:
        await keep_many(store, 100)
        for channel in "abcd":
            await store.commit(readings(20, now_us - HOUR_US, channel), [])
        assert sum("FROM reading" in asked for asked in await statements(store, now_us)) < 30
    assert rows(tmp_path) == 80


async def test_old_rows_among_many_kept_lots_are_removed_a_few_looks_at_a_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("collector.store.retention.STEP_LOOKS", 10)
    now_us, never = START_US + 30 * DAY_US, 2**60
    unsealed = msgspec.structs.replace(SMALL, settled_us=never, silent_us=never)
    kept_rows = [Reading(SCALE, START_US + n * 60 * S_US, n) for n in range(100)]
    free_rows = [Reading(SCALE, kept_rows[n].taken_us + 30 * S_US, n) for n in (40, 70, 99)]
    with opened(tmp_path, A_WEEK, unsealed) as store:
        await keep_many(store, 100)
        await store.commit([*kept_rows, *free_rows, *readings(5, START_US - DAY_US, POT)], [])
        for _step in range(20):
            asked = await statements(store, now_us)
            assert sum("reading" in statement for statement in asked) < 30
    assert stored(tmp_path) == kept_rows
    assert stored(tmp_path, POT) == []
    assert sum(event.readings for event in expiries(tmp_path)) == 8
    assert verify(tmp_path) == []


async def test_nothing_is_removed_where_the_journal_cannot_say_so(tmp_path: Path) -> None:
    with opened(tmp_path, A_WEEK) as store:
        await fill(store)
        await all_done(store, START_US + 3 * DAY_US)
        with closing(sqlite3.connect(tmp_path / "pourkeep.db")) as connection, connection:
            connection.execute(
                "CREATE TRIGGER refused BEFORE INSERT ON event BEGIN SELECT RAISE(ABORT, 'no'); END"
            )
        before = stored(tmp_path)
        with pytest.raises(Exception, match="no"):
            await all_done(store, START_US + 70 * DAY_US)
        assert stored(tmp_path) == before


async def test_readings_that_come_for_a_time_that_was_removed_are_kept_until_the_next_day(
    tmp_path: Path,
) -> None:
    now_us = START_US + 70 * DAY_US
    with opened(tmp_path, A_WEEK) as store:
        await fill(store)
        await all_done(store, now_us)
        late = Reading(SCALE, START_US + S_US, 3, late=True)
        await store.commit([late], [])
        await all_done(store, now_us + S_US)
        assert stored(tmp_path) == [late]
        await all_done(store, now_us + DAY_US)
        assert stored(tmp_path) == []
    assert verify(tmp_path) == []


async def test_evidence_that_is_missing_without_a_reason_is_still_a_fault(tmp_path: Path) -> None:
    with opened(tmp_path, A_WEEK) as store:
        await fill(store)
        await store.commit([], [kept(1)])
        await all_done(store, START_US + 100 * DAY_US)
    with closing(sqlite3.connect(tmp_path / "pourkeep.db")) as connection, connection:
        connection.execute("DELETE FROM block")
    (fault,) = verify(tmp_path)
    assert "but 0 are stored in that span" in fault.sentence
