"""Readings out of the store: as arrays for curves, one by one for a replay.

They are rows at first and in sealed blocks later. Whoever reads both does so in one snapshot, so
that what is sealed in between is neither lost nor seen twice.
"""

import heapq
import logging
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from collector.errors import StoreError
from collector.readings import Reading
from collector.store.blocks import Block, unpack
from collector.store.database import reading_from
from collector.store.queries import READING
from collector.store.records import LATE, ReadingSpan, stored_reading, united
from collector.store.transaction import snapshot

_LOG = logging.getLogger(__name__)

CHUNK = 4096
"""Rows fetched at once in a replay: some 100 kB a channel, whatever the length of the span."""


def channel_id(connection: sqlite3.Connection, channel: str) -> int:
    """Return a channel's id, 0 (which no channel has) where it never gave a reading."""
    row = connection.execute(READING["channel_id"], (channel,)).fetchone()
    return int(row[0]) if row else 0


def read_span(
    connection: sqlite3.Connection, channel: str, from_us: int, to_us: int
) -> ReadingSpan:
    """Return a channel's readings in a span, ends included; the caller holds a snapshot.

    Raises sqlite3.Error, also for more than some 50 million rows, and StoreError for a damaged
    block.
    """
    number = channel_id(connection, channel)
    blocks = connection.execute(READING["blocks"], _span(number, from_us, to_us)).fetchall()
    sealed = [unpack(Block(*row), channel).between(from_us, to_us) for row in blocks]
    return united([*sealed, _read_rows(connection, number, from_us, to_us)])


def last_reading_us(connection: sqlite3.Connection, channel: str) -> int | None:
    """Return when a channel's latest reading was taken, or None. Raises sqlite3.Error."""
    number = channel_id(connection, channel)
    found = [connection.execute(READING[query], (number,)).fetchone() for query in _LAST]
    return max((row[0] for row in found if row and row[0] is not None), default=None)


_LAST = ("last_reading_us", "last_sealed_us")


def last_judged_us(connection: sqlite3.Connection, channel: str) -> int | None:
    """Return when a channel's latest reading was taken that did not come late, or None.

    The end of a damaged block counts: what else it held is not known. Raises sqlite3.Error.
    """
    number = channel_id(connection, channel)
    row = connection.execute(READING["last_judged_us"], (number, LATE)).fetchone()
    found: int | None = row[0] if row else None
    with closing(connection.execute(READING["blocks_back"], (number,))) as rows:
        for block in (Block(*row) for row in rows):
            if found is not None and found >= block.last_us:
                break
            sealed_us = _last_judged_of(block, channel)
            if sealed_us is not None:
                return sealed_us if found is None else max(found, sealed_us)
    return found


def _last_judged_of(block: Block, channel: str) -> int | None:
    try:
        times = unpack(block, channel).judged.times
    except StoreError as error:
        _LOG.error("%s", error.message)
        return block.last_us
    return int(times[-1]) if len(times) else None


def _span(number: int, from_us: int, to_us: int) -> dict[str, int]:
    return {"channel": number, "from_us": from_us, "to_us": to_us}


def _read_rows(
    connection: sqlite3.Connection, number: int, from_us: int, to_us: int
) -> ReadingSpan:
    lists = connection.execute(READING["readings"], (number, from_us, to_us)).fetchone()
    times, values, flags = (_integers(text) for text in lists)
    # SQLite leaves the order in group_concat() open; in fact it is that of the subquery.
    order = np.argsort(times, kind="stable")
    return ReadingSpan(times[order], values[order], flags[order].astype(np.uint8))


def _integers(text: str | None) -> NDArray[np.int64]:
    return np.fromstring(text or "", dtype=np.int64, sep=",")


def merged(folder: Path, channels: Sequence[str], from_us: int, to_us: int) -> Iterator[Reading]:
    """Give the readings of several channels in time order, ends included, none that came late.

    Each chunk is a read of its own, so that a long replay holds up no checkpoint.
    Raises StoreError.
    """
    spans = [_one_channel(folder, channel, from_us, to_us) for channel in sorted(set(channels))]
    return heapq.merge(*spans, key=_order)


def _order(reading: Reading) -> tuple[int, str]:
    return reading.taken_us, reading.channel


def _one_channel(folder: Path, channel: str, from_us: int, to_us: int) -> Iterator[Reading]:
    start_us = from_us
    while start_us <= to_us:
        end_us, span = _chunk(folder, channel, start_us, to_us)
        columns = (column.tolist() for column in span.judged)
        for taken_us, value, flags in zip(*columns, strict=True):
            yield stored_reading(channel, taken_us, value, flags)
        start_us = end_us + 1


def _chunk(folder: Path, channel: str, from_us: int, to_us: int) -> tuple[int, ReadingSpan]:
    """Return the readings up to the end of the next block or of so many rows, and that end."""
    with reading_from(folder) as connection, snapshot(connection):
        number = channel_id(connection, channel)
        block = connection.execute(READING["blocks"], _span(number, from_us, to_us)).fetchone()
        row = connection.execute(
            READING["nth_reading_us"], {**_span(number, from_us, to_us), "skipped": CHUNK - 1}
        ).fetchone()
        end_us: int = min(to_us, row[0] if row else to_us)
        sealed = []
        if block:
            found = Block(*block)
            end_us = min(end_us, found.last_us)
            sealed = [unpack(found, channel).between(from_us, end_us)]
        return end_us, united([*sealed, _read_rows(connection, number, from_us, end_us)])
