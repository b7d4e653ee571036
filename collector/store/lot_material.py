"""All that a lot's judgment rests on, as it was at one moment: its events and its readings."""

import sqlite3
from collections.abc import Iterator, Mapping

import msgspec
import numpy as np

from collector.events import AnyEvent, LotClosed, LotOpened, decode
from collector.readings import Quality, Reading
from collector.store.queries import READING
from collector.store.records import ReadingSpan
from collector.store.stored_readings import read_span

ALWAYS_US = 2**63 - 1
"""Later than any reading."""

_QUALITIES = tuple(Quality)


class LotMaterial(msgspec.Struct, frozen=True):
    """A lot's events in order, and the readings of each of its channels while it was open."""

    events: tuple[AnyEvent, ...]
    spans: Mapping[str, ReadingSpan]

    @property
    def count(self) -> int:
        """How many readings there are."""
        return sum(len(span.times) for span in self.spans.values())

    def readings(self) -> Iterator[Reading]:
        """Give the readings one by one, in time order."""
        names = sorted(self.spans)
        if not names:
            return
        spans = [self.spans[name] for name in names]
        times = np.concatenate([span.times for span in spans])
        order = np.argsort(times, kind="stable")
        places = np.repeat(np.arange(len(spans)), [len(span.times) for span in spans])
        rows = zip(
            places[order].tolist(),
            times[order].tolist(),
            np.concatenate([span.values for span in spans])[order].tolist(),
            np.concatenate([span.qualities for span in spans])[order].tolist(),
            strict=True,
        )
        for place, taken_us, value, quality in rows:
            yield Reading(names[place], taken_us, value, _QUALITIES[quality])


def read_material(connection: sqlite3.Connection, lot: str) -> LotMaterial:
    """Return a lot's material in one transaction, so that no commit falls in between.

    Its events are empty where there is no such lot. Raises sqlite3.Error.
    """
    connection.execute("BEGIN")
    try:
        rows = connection.execute(READING["lot_events"], (lot,)).fetchall()
        events = tuple(decode(body) for _seq, body in rows)
        opened = next((event for event in events if isinstance(event, LotOpened)), None)
        if opened is None:
            return LotMaterial(events, {})
        closed = (event.at_us for event in events if isinstance(event, LotClosed))
        span = (opened.at_us, next(closed, ALWAYS_US))
        names = [channel.name for channel in opened.channels]
        return LotMaterial(events, {name: read_span(connection, name, *span) for name in names})
    finally:
        connection.execute("COMMIT")
