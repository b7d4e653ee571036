"""A lot as Parquet (https://parquet.apache.org/docs/file-format/): the table of `rows`, typed.

One file with the rows of the CSV in the same order, so that what is said there holds here: times
are timestamps in UTC to the microsecond, numbers doubles, what repeats is dictionary-encoded, and
a column without a value is null. The file's own metadata hold, under the key `pourkeep`, the first
line of the JSON lines: which format and version, the lot, its recipe and its record.

Rows go out in groups of about `GROUP_ROWS`. The library is imported on first use: it costs some
40 MB and a third of a second, and 32-bit ARM has none of it.
"""

import importlib.util
import io
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import msgspec
import numpy as np

from api.export.lot_export import LotExport, Piece
from api.export.reading_rows import ReadingRows, labels, reading_rows
from api.export.rows import COLUMNS, US_PER_S, Fact, facts
from api.presenting import QUALITY
from collector.errors import PourkeepError

if TYPE_CHECKING:
    import pyarrow as pa

GROUP_ROWS = 65_536
"""Rows that are held before a group of them is written: some 10 MB, whatever the lot's length."""

METADATA_KEY = "pourkeep"


def check_parquet() -> None:
    """Raise PourkeepError where this machine cannot write Parquet."""
    if importlib.util.find_spec("pyarrow") is None:
        raise PourkeepError(
            "Parquet cannot be written here: the package pyarrow is not installed, and there is"
            " none for 32-bit ARM. Export as csv or jsonl, or on another machine from a backup."
        )


def parquet_pieces(export: LotExport) -> Iterator[Piece]:
    """Give the file piece by piece. Blocks. Raises StoreError, and what `check_parquet` does."""
    check_parquet()
    from pyarrow.parquet import ParquetWriter  # noqa: PLC0415 - see the module

    made = _Tables(export)
    out = io.BytesIO()
    with ParquetWriter(out, made.schema, compression="zstd") as writer:
        waiting, rows = [made.of_facts(facts(export))], 0
        for found in export.slices():
            waiting.append(made.of_readings(reading_rows(found, export.channels, made.opened_us)))
            rows += len(found.places)
            if rows >= GROUP_ROWS:
                writer.write_table(made.joined(waiting))
                yield Piece(_taken(out), rows)
                waiting, rows = [made.of_facts([])], 0
        writer.write_table(made.joined(waiting))
        yield Piece(_taken(out), rows)
    yield Piece(_taken(out))


def _taken(out: io.BytesIO) -> bytes:
    """Take out what was written: the writer counts its place in the file by itself."""
    data = out.getvalue()
    out.seek(0)
    out.truncate()
    return data


class _Tables:
    """Makes tables of one lot."""

    def __init__(self, export: LotExport) -> None:
        import pyarrow as pa  # noqa: PLC0415 - see the module

        # Its own allocator keeps 30 MB more of what was given back.
        pa.set_memory_pool(pa.system_memory_pool())
        self._pa = pa
        self._lot = export.lot
        self._labels = labels(export.channels)
        self.opened_us = export.record.opened.at_us
        words = pa.dictionary(pa.int32(), pa.string())
        time, number, count = pa.timestamp("us", tz="UTC"), pa.float64(), pa.int32()
        types = {
            **dict.fromkeys(("time", "ended"), time),
            **dict.fromkeys(("seconds", "value", "target", "low", "high"), number),
            **dict.fromkeys(("pitcher", "vessel"), count),
            "late": pa.bool_(),
            "text": pa.string(),
        }
        columns = [(name, types.get(name, words)) for name in COLUMNS]
        metadata = {METADATA_KEY: msgspec.json.encode(export.head)}
        self.schema = pa.schema(columns, metadata=metadata)

    def joined(self, tables: Sequence["pa.Table"]) -> "pa.Table":
        """Return tables as one, their dictionaries made one too."""
        return self._pa.concat_tables(tables).unify_dictionaries()

    def of_facts(self, rows: Sequence[Fact]) -> "pa.Table":
        """Return rows that are no readings."""
        columns: dict[str, list[object]] = {
            name: [getattr(row, name, None) for row in rows] for name in self.schema.names
        }
        columns["lot"] = [self._lot for _row in rows]
        columns["time"] = [row.time_us for row in rows]
        columns["seconds"] = [(row.time_us - self.opened_us) / US_PER_S for row in rows]
        columns["ended"] = [row.ended_us for row in rows]
        arrays = [self._pa.array(columns[field.name], field.type) for field in self.schema]
        return self._pa.Table.from_arrays(arrays, schema=self.schema)

    def of_readings(self, rows: ReadingRows) -> "pa.Table":
        """Return readings."""
        same = np.zeros(len(rows.places), np.int32)
        places = rows.places.astype(np.int32)
        names, roles, units = (list(words) for words in zip(*self._labels, strict=True))
        columns = {
            "lot": self._words(same, [self._lot]),
            "time": self._pa.array(rows.times_us, self.schema.field("time").type),
            "seconds": self._pa.array(rows.seconds),
            "kind": self._words(same, ["reading"]),
            "channel": self._words(places, names),
            "role": self._words(places, roles),
            "value": self._pa.array(rows.values, self._pa.float64()),
            "unit": self._words(places, units),
            "quality": self._words(rows.qualities.astype(np.int32), list(QUALITY)),
            "late": self._pa.array(rows.late),
        }
        arrays = [
            columns[field.name] if field.name in columns else self._pa.nulls(len(same), field.type)
            for field in self.schema
        ]
        return self._pa.Table.from_arrays(arrays, schema=self.schema)

    def _words(self, places: np.ndarray, words: Sequence[str]) -> "pa.DictionaryArray":
        return self._pa.DictionaryArray.from_arrays(self._pa.array(places), list(words))
