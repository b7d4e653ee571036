"""What is exported of a lot: its record, its journal and its readings, as of one moment."""

from collections.abc import Iterator, Mapping

import msgspec

from api import presenting
from api.instants import instant
from api.lot_reading import read_document, read_record
from api.removed_readings import were_removed
from collector.lot_record import LotRecord
from collector.readings import Channel
from collector.store.history import History
from collector.store.reading_slices import ReadingSlice
from collector.store.records import StoredEvent

FORMAT = "pourkeep lot export"
VERSION = 1


class LotExport(msgspec.Struct, frozen=True):
    """A lot as it is exported.

    `until_us` is where its readings end: its close, or the latest that was known of an open lot.
    `removed` says that some of its readings may have been removed from the store; `readings`
    counts those that are here.
    """

    history: History
    record: LotRecord
    events: tuple[StoredEvent, ...]
    head: Mapping[str, object]
    until_us: int
    readings: int
    removed: bool

    @property
    def lot(self) -> str:
        """The lot's id."""
        return self.record.opened.lot or ""

    @property
    def channels(self) -> tuple[Channel, ...]:
        """The channels that the lot was recorded from."""
        return self.record.opened.channels

    def slices(self) -> Iterator[ReadingSlice]:
        """Give all readings of the lot; places are those of `channels`. Raises StoreError."""
        names = [channel.name for channel in self.channels]
        return self.history.reading_slices(names, self.record.opened.at_us, self.until_us)


class Piece(msgspec.Struct, frozen=True):
    """Some bytes of the file, and how many of the lot's readings went into it."""

    data: bytes
    readings: int = 0


def read_export(history: History, lot: str) -> LotExport:
    """Return what there is to export of a lot. Blocks. Raises NotFoundError and StoreError."""
    record = read_record(history, lot)
    opened = record.opened
    names = [channel.name for channel in opened.channels]
    until_us = record.closed_us or max(opened.at_us, history.latest_us(names))
    readings = history.count_readings(names, opened.at_us, until_us)
    removed = were_removed(history, lot, opened.at_us)
    shown = presenting.lot(record, read_document(history, opened.recipe), None, until_us)
    head = {
        "kind": "lot",
        "format": FORMAT,
        "version": VERSION,
        "until": instant(until_us),
        "readings": readings,
        "readings_removed": removed,
        "lot": shown.model_dump(by_alias=True),
    }
    events = tuple(history.events(lot))
    return LotExport(history, record, events, head, until_us, readings, removed)
