"""A lot as JSON lines: a JSON object (RFC 8259) a line, each ended by a line feed, in UTF-8.

The first line says what the file is:

    {"kind": "lot", "format": "pourkeep lot export", "version": 1, "until": …, "readings": …,
     "readings_removed": …, "lot": {…}}

`lot` is what GET /api/lots/{id} shows, its recipe, phases, weighings and deviations included. Then
follow the rows of `rows` under the names of its columns, without those that are empty; the lot's
journal, an `{"kind": "event", "seq", "time", "body"}` each; the readings by time, whose `value` is
null where they are bad; and, so that a file that was cut off is known,

    {"kind": "end", "readings": …}

Numbers are °C, g, %RH, Pa and s. Only the `body` of an event is as the journal keeps it: its
integers say their unit in their names (`mass_mg`, `at_us`), and its `type` is the event's name.
"""

from collections.abc import Iterator

import msgspec

from api.export.lot_export import LotExport, Piece
from api.export.reading_rows import labels, moment, moments, quality_names, reading_rows
from api.export.rows import US_PER_S, Fact, facts
from collector.events import encode

_ENCODER = msgspec.json.Encoder()


class ReadingLine(msgspec.Struct, frozen=True, tag_field="kind", tag="reading", gc=False):
    """One reading; null where it has no usable number."""

    lot: str
    time: str
    seconds: float
    channel: str
    role: str
    value: float | None
    unit: str
    quality: str
    late: bool


def json_pieces(export: LotExport) -> Iterator[Piece]:
    """Give the file piece by piece. Blocks. Raises StoreError."""
    opened_us = export.record.opened.at_us
    told = [_fact(export.lot, opened_us, fact) for fact in facts(export) if fact.kind != "lot"]
    yield Piece(_ENCODER.encode_lines([export.head, *told, *_journal(export)]))
    written = 0
    for found in _readings(export, opened_us):
        written += len(found)
        yield Piece(_ENCODER.encode_lines(found), len(found))
    yield Piece(_ENCODER.encode_lines([{"kind": "end", "readings": written}]))


def _fact(lot: str, opened_us: int, fact: Fact) -> dict[str, object]:
    """Return a row under the names of its columns."""
    line: dict[str, object] = {
        "kind": fact.kind,
        "lot": lot,
        "time": moment(fact.time_us),
        "seconds": (fact.time_us - opened_us) / US_PER_S,
        **msgspec.structs.asdict(fact),
        "ended": moment(fact.ended_us),
    }
    for own in ("time_us", "ended_us"):
        line.pop(own)
    return {name: value for name, value in line.items() if value is not None}


def _journal(export: LotExport) -> Iterator[dict[str, object]]:
    for stored in export.events:
        yield {
            "kind": "event",
            "seq": stored.seq,
            "time": moment(stored.event.at_us),
            "body": msgspec.Raw(encode(stored.event)),
        }


def _readings(export: LotExport, opened_us: int) -> Iterator[list[ReadingLine]]:
    shown = labels(export.channels)
    for found in export.slices():
        rows = reading_rows(found, export.channels, opened_us)
        columns = zip(
            moments(rows.times_us),
            rows.seconds,
            [shown[place] for place in rows.places.tolist()],
            rows.values,
            quality_names(rows.qualities),
            rows.late,
            strict=True,
        )
        yield [
            ReadingLine(export.lot, time, seconds, name, role, value, unit, quality, late)
            for time, seconds, (name, role, unit), value, quality, late in columns
        ]
