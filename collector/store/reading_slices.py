"""Readings of several channels as slices of time, each small, one after the other.

For whoever goes through a long span and must not hold it whole. Each slice is a read of its own,
so that a slow reader holds up no checkpoint of the write-ahead log.
"""

import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from collector.store.blocks import Block, unpack
from collector.store.database import reading_from
from collector.store.queries import READING
from collector.store.records import ReadingSpan
from collector.store.stored_readings import CHUNK, channel_id, read_span
from collector.store.transaction import snapshot

MOST = 2048
"""Readings in a slice: little to hold, and written as text within some 5 ms. What writes it is C
code that lets nobody else run meanwhile, the bench included."""


class ReadingSlice(NamedTuple):
    """The readings of several channels in a slice of time, in time order.

    `readings` holds them as a span does; `places` says of each which channel it is of, counted
    from 0 in the order in which the channels were asked for.
    """

    places: NDArray[np.intp]
    readings: ReadingSpan


def slices(
    folder: Path, channels: Sequence[str], from_us: int, to_us: int
) -> Iterator[ReadingSlice]:
    """Give all readings in a span, ends included, those that came late too.

    None is empty, none has more than `MOST`. At one moment the channels stand in the order in
    which they were asked for. Raises StoreError.
    """
    start_us = from_us
    while channels and start_us <= to_us:
        with reading_from(folder) as connection, snapshot(connection):
            first_us = _first_us(connection, channels, start_us, to_us)
            if first_us is None:
                return
            end_us = min(_end_us(connection, name, first_us, to_us) for name in channels)
            spans = [read_span(connection, channel, first_us, end_us) for channel in channels]
        yield from _sliced(spans)
        start_us = end_us + 1


def count(connection: sqlite3.Connection, channel: str, from_us: int, to_us: int) -> int:
    """Return how many readings of a channel a span holds, ends included.

    The caller holds a snapshot. A reading that is both a row and sealed counts twice: there is
    hardly ever one, see `sealing`. Raises sqlite3.Error, and StoreError for a damaged block.
    """
    number = channel_id(connection, channel)
    span = _span(number, from_us, to_us)
    (rows,) = connection.execute(READING["reading_count"], span).fetchone()
    return int(rows) + sum(
        _held(Block(*row), channel, from_us, to_us)
        for row in connection.execute(READING["blocks"], span)
    )


def _held(block: Block, channel: str, from_us: int, to_us: int) -> int:
    if from_us <= block.first_us and block.last_us <= to_us:
        return block.count
    return len(unpack(block, channel).between(from_us, to_us).times)


def _sliced(spans: Sequence[ReadingSpan]) -> Iterator[ReadingSlice]:
    times = np.concatenate([span.times for span in spans])
    order = np.argsort(times, kind="stable")
    places = np.repeat(np.arange(len(spans)), [len(span.times) for span in spans])
    values = np.concatenate([span.values for span in spans])
    flags = np.concatenate([span.flags for span in spans])
    for start in range(0, len(order), MOST):
        part = order[start : start + MOST]
        yield ReadingSlice(places[part], ReadingSpan(times, values, flags).where(part))


def _first_us(
    connection: sqlite3.Connection, channels: Sequence[str], from_us: int, to_us: int
) -> int | None:
    """Return when the first reading at or after a time was taken, None where there is none.

    Where a block reaches back before that time, it is the time itself: what is in the block is
    not looked up twice.
    """
    found = []
    for channel in channels:
        span = _span(channel_id(connection, channel), from_us, to_us)
        row = connection.execute(READING["nth_reading_us"], {**span, "skipped": 0}).fetchone()
        block = connection.execute(READING["blocks"], span).fetchone()
        found += [row[0]] if row else []
        found += [max(from_us, block[0])] if block else []
    return min(found, default=None)


def _end_us(connection: sqlite3.Connection, channel: str, from_us: int, to_us: int) -> int:
    """Return where a slice that begins at a time has to end for one of its channels."""
    span = _span(channel_id(connection, channel), from_us, to_us)
    row = connection.execute(READING["nth_reading_us"], {**span, "skipped": CHUNK - 1}).fetchone()
    block = connection.execute(READING["blocks"], span).fetchone()
    ends = [to_us, *([row[0]] if row else []), *([block[1]] if block else [])]
    return int(min(ends))


def _span(number: int, from_us: int, to_us: int) -> dict[str, int]:
    return {"channel": number, "from_us": from_us, "to_us": to_us}
