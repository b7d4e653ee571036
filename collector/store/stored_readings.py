"""Readings out of the store: as arrays for curves, one by one for a replay."""

import heapq
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from collector.readings import Quality, Reading
from collector.store.database import reading_from
from collector.store.queries import READING
from collector.store.records import ReadingSpan

CHUNK = 4096
"""Readings fetched at once in a replay: some 100 kB a channel, whatever the length of the span."""

_QUALITIES = tuple(Quality)


def channel_id(connection: sqlite3.Connection, channel: str) -> int:
    """Return a channel's id, 0 (which no channel has) where it never gave a reading."""
    row = connection.execute(READING["channel_id"], (channel,)).fetchone()
    return int(row[0]) if row else 0


def read_span(
    connection: sqlite3.Connection, channel: str, from_us: int, to_us: int
) -> ReadingSpan:
    """Return a channel's readings in a span, ends included.

    Raises sqlite3.Error, also for a span of more than some 50 million readings.
    """
    span = (channel_id(connection, channel), from_us, to_us)
    lists = connection.execute(READING["readings"], span).fetchone()
    times, values, qualities = (_integers(text) for text in lists)
    # SQLite leaves the order in group_concat() open; in fact it is that of the subquery.
    order = np.argsort(times, kind="stable")
    return ReadingSpan(times[order], values[order], qualities[order].astype(np.uint8))


def _integers(text: str | None) -> NDArray[np.int64]:
    return np.fromstring(text or "", dtype=np.int64, sep=",")


def merged(folder: Path, channels: Sequence[str], from_us: int, to_us: int) -> Iterator[Reading]:
    """Give the readings of several channels in time order, ends included.

    Each chunk is a read of its own, so that a long replay holds up no checkpoint.
    Raises StoreError.
    """
    spans = [_one_channel(folder, channel, from_us, to_us) for channel in sorted(set(channels))]
    return heapq.merge(*spans, key=_order)


def _order(reading: Reading) -> tuple[int, str]:
    return reading.taken_us, reading.channel


def _one_channel(folder: Path, channel: str, from_us: int, to_us: int) -> Iterator[Reading]:
    start_us = from_us
    while True:
        rows = _chunk(folder, channel, start_us, to_us)
        for taken_us, value, quality in rows:
            yield Reading(channel, taken_us, value, _QUALITIES[quality])
        if len(rows) < CHUNK or rows[-1][0] == to_us:
            return
        start_us = rows[-1][0] + 1


def _chunk(folder: Path, channel: str, from_us: int, to_us: int) -> list[tuple[int, int, int]]:
    with reading_from(folder) as connection:
        span = (channel_id(connection, channel), from_us, to_us, CHUNK)
        return connection.execute(READING["readings_chunk"], span).fetchall()
