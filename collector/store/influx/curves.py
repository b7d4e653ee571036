"""A channel's readings back out of InfluxDB, as the embedded store would give them."""

import numpy as np
from numpy.typing import NDArray

from collector.readings import Channel, Quality
from collector.store.influx.points import NS_PER_US, READINGS, fixed_points
from collector.store.influx.server import InfluxServer, identifier, string
from collector.store.records import ReadingSpan

PAGE = 100_000
"""Rows of one answer, some 3 MB: a channel at 2 Hz for fourteen hours."""


def read_span(
    server: InfluxServer, channel: Channel, from_us: int, to_us: int, page: int = PAGE
) -> ReadingSpan:
    """Return a channel's readings in a span, ends included, in time order. Blocks.

    A reading is known by channel and time: where a channel changed its role while a commit was
    sent twice, the one point that stands in two series is one reading.

    Raises RemoteStoreError.
    """
    pages = [np.empty((0, 3))]
    start_us = from_us
    while start_us <= to_us:
        rows, cut = _page(server, channel.name, start_us, to_us, page)
        pages.append(rows)
        if len(rows) == 0 or (len(rows) < page and not cut):
            break
        start_us = int(rows[-1, 0]) + 1
    return _span(np.concatenate(pages), channel)


def _page(
    server: InfluxServer, channel: str, from_us: int, to_us: int, page: int
) -> tuple[NDArray[np.float64], bool]:
    """Return rows of time, value and quality, and whether the server cut them short."""
    result = server.query(  # InfluxQL, with every name and text escaped
        f"SELECT {identifier('value')}, {identifier('quality')} FROM {identifier(READINGS)}"  # noqa: S608
        f" WHERE {identifier('channel')} = {string(channel)}"
        f" AND time >= {from_us * NS_PER_US} AND time <= {to_us * NS_PER_US}"
        f" ORDER BY time LIMIT {page}"
    )
    rows = [row for series in result.series for row in series.values]
    # A double holds the microseconds until the year 2255.
    return np.array(rows, dtype=np.float64).reshape(-1, 3), result.partial


def _span(rows: NDArray[np.float64], channel: Channel) -> ReadingSpan:
    rows = rows[~np.isnan(rows[:, 1])]
    times, first = np.unique(rows[:, 0].astype(np.int64), return_index=True)
    values, flags = rows[first, 1], np.nan_to_num(rows[first, 2], nan=Quality.SUSPECT)
    return ReadingSpan(times, fixed_points(values, channel.quantity), flags.astype(np.uint8))
