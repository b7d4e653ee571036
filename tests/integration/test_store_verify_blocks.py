"""What `verify` finds wrong with sealed readings."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
import pytest_asyncio
from sealing_samples import DAY_US, S_US, SCALE, START_US, all_done, blocks, opened, readings, rows
from store_samples import LOT, lot_closed, lot_opened, weighing

from collector.events import AnyEvent
from collector.lot_events import LotKept, LotReleased
from collector.readings import Reading
from collector.store.blocks import pack
from collector.store.queries import UPKEEP
from collector.store.records import ReadingSpan
from collector.store.verify import verify

MADE = readings(300)
LATER_US = START_US + 2 * DAY_US


@pytest_asyncio.fixture
async def folder(tmp_path: Path) -> Path:
    """A store with four blocks, a late reading among them, and a weighing on two of them."""
    late = Reading(SCALE, MADE[95].taken_us + 1, 7, late=True)
    with opened(tmp_path) as store:
        events: list[AnyEvent] = [lot_opened(), weighing(MADE[90:110]), lot_closed()]
        await store.commit([*MADE, late], events)
        await all_done(store, LATER_US)
    assert rows(tmp_path) == 0
    return tmp_path


def tamper(folder: Path, statement: str, values: Sequence[object] = ()) -> None:
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection, connection:
        assert connection.execute(statement, tuple(values)).rowcount > 0


def told(folder: Path) -> list[tuple[str, str]]:
    return [(fault.place, fault.sentence) for fault in verify(folder)]


def test_sealed_readings_under_a_weighing_count_and_late_ones_do_not(folder: Path) -> None:
    assert blocks(folder) == [100, 100, 100, 1]
    assert told(folder) == []


@pytest.mark.parametrize("column", ["times", "amounts", "digest"])
def test_a_damaged_block_is_named_with_its_channel_and_span(folder: Path, column: str) -> None:
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection:
        (stored,) = connection.execute(f"SELECT {column} FROM block WHERE id = 3").fetchone()  # noqa: S608 - listed above
    changed = bytes([stored[0] ^ 0x40]) + stored[1:]
    tamper(folder, f"UPDATE block SET {column} = ? WHERE id = 3", [changed])  # noqa: S608 - as above
    ((place, sentence),) = told(folder)
    assert place == f"block of {SCALE}"
    assert sentence.startswith(f"The sealed readings of {SCALE} from 2026-11-25T09:49:59.000Z to")


@pytest.mark.parametrize("change", ["count = count - 1", "first_us = first_us - 1", "last_us = 0"])
def test_a_head_that_does_not_fit_its_readings_is_named(folder: Path, change: str) -> None:
    tamper(folder, f"UPDATE block SET {change} WHERE id = 3")  # noqa: S608 - listed above
    assert any("do not fit that span" in sentence for _place, sentence in told(folder))


def test_a_damaged_block_under_a_weighing_is_named_beside_it(folder: Path) -> None:
    tamper(folder, "UPDATE block SET crc = crc + 1 WHERE id = 1")
    (first, second) = told(folder)
    assert first[0] == "event 2"
    assert "bytes were changed" in second[1]


def test_a_reading_that_is_sealed_and_a_row_too_is_named(folder: Path) -> None:
    statement = "INSERT INTO reading VALUES (1, ?, 5, 0)"
    tamper(folder, statement, [MADE[250].taken_us])
    ((_, sentence),) = told(folder)
    assert "1 of them are stored as rows too" in sentence


def add_block(folder: Path, channel: int, times: list[int]) -> None:
    count = len(times)
    span = ReadingSpan(np.array(times), np.zeros(count, np.int64), np.zeros(count, np.uint8))
    block = pack(span)
    head = (block.first_us, block.last_us, block.count, block.crc, block.digest)
    arrays = (block.times, block.amounts, block.qualities)
    tamper(folder, UPKEEP["add_block"], (channel, *head, *arrays))


def test_blocks_that_overlap_are_named(folder: Path) -> None:
    last_us = MADE[-1].taken_us
    add_block(folder, 1, [last_us - S_US // 2, last_us + S_US])
    ((_, sentence),) = told(folder)
    assert "they overlap the sealed readings before them" in sentence


def test_readings_out_of_order_in_a_block_are_named(folder: Path) -> None:
    add_block(folder, 1, [LATER_US, LATER_US + 2, LATER_US + 1, LATER_US + 3])
    ((_, sentence),) = told(folder)
    assert "not in the order of time" in sentence


def test_a_block_of_no_channel_is_told(folder: Path) -> None:
    add_block(folder, 99, [LATER_US, LATER_US + 1])
    assert told(folder) == [("table block", "1 blocks belong to no channel.")]


def test_a_block_that_is_gone_is_missed_by_the_weighing_that_rests_on_it(folder: Path) -> None:
    tamper(folder, "DELETE FROM block WHERE id = 1")
    ((place, sentence),) = told(folder)
    assert place == "event 2"
    assert "rests on 20 readings" in sentence


@pytest.mark.asyncio
async def test_which_lots_are_kept_follows_from_the_journal(folder: Path) -> None:
    at_us = LATER_US
    kept = LotKept(at_us=at_us, bench="mole", lot=LOT, note="complaint")
    released = LotReleased(at_us=at_us, bench="mole", lot=LOT)
    with opened(folder) as store:
        await store.commit([], [kept, released, kept, kept])
    assert told(folder) == []
    tamper(folder, "DELETE FROM kept_lot")
    ((place, sentence),) = told(folder)
    assert place == f"kept lot {LOT}"
    assert "missing from its table" in sentence
