"""All that a lot's judgment rests on, as it was at one moment: its events and its readings."""

import sqlite3
from collections.abc import Iterator, Mapping

import msgspec
import numpy as np

from collector.events import AnyEvent, decode
from collector.lot_events import LotClosed, LotOpened
from collector.readings import Reading
from collector.store.queries import READING
from collector.store.records import ReadingSpan, stored_reading
from collector.store.stored_readings import read_span
from collector.store.transaction import snapshot

ALWAYS_US = 2**63 - 1
"""Later than any reading."""


class LotMaterial(msgspec.Struct, frozen=True):
    """A lot's events in order, and what its bench was fed of each of its channels meanwhile.

    Readings that came late are not among them.
    """

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
            np.concatenate([span.flags for span in spans])[order].tolist(),
            strict=True,
        )
        for place, taken_us, value, flags in rows:
            yield stored_reading(names[place], taken_us, value, flags)


def read_material(connection: sqlite3.Connection, lot: str) -> LotMaterial:
    """Return a lot's material in one transaction, so that no commit falls in between.

    Its events are empty where there is no such lot. Raises sqlite3.Error, and StoreError for a
    damaged block.
    """
    with snapshot(connection):
        rows = connection.execute(READING["lot_events"], (lot,)).fetchall()
        events = tuple(decode(body) for _seq, body in rows)
        opened = next((event for event in events if isinstance(event, LotOpened)), None)
        if opened is None:
            return LotMaterial(events, {})
        closed = (event.at_us for event in events if isinstance(event, LotClosed))
        ends = (opened.at_us, next(closed, ALWAYS_US))
        names = [channel.name for channel in opened.channels]
        spans = {name: read_span(connection, name, *ends).judged for name in names}
        return LotMaterial(events, spans)
