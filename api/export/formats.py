"""The formats of an export: what each is called, and what writes it.

Media types as registered with IANA: text/csv by RFC 4180 and RFC 7111, Parquet's own since 2024.
JSON lines have none that is registered; `application/x-ndjson` is common practice.
"""

from collections.abc import Callable, Iterator
from typing import Literal

import msgspec

from api.export.csv_table import csv_pieces
from api.export.json_lines import json_pieces
from api.export.lot_export import LotExport, Piece
from api.export.parquet_table import check_parquet, parquet_pieces

FormatName = Literal["csv", "parquet", "jsonl"]


class Format(msgspec.Struct, frozen=True):
    """One format.

    `check` raises PourkeepError where this machine cannot write it. `reading_bytes` is what a
    reading takes in the file, as measured on a long lot, to say beforehand how large it becomes.
    """

    name: FormatName
    media_type: str
    text: bool
    reading_bytes: float
    pieces: Callable[[LotExport], Iterator[Piece]]
    check: Callable[[], None] = lambda: None


FORMATS: dict[FormatName, Format] = {
    made.name: made
    for made in (
        Format("csv", "text/csv; charset=utf-8; header=present", True, 110, csv_pieces),
        Format(
            "parquet", "application/vnd.apache.parquet", False, 9, parquet_pieces, check_parquet
        ),
        Format("jsonl", "application/x-ndjson", True, 200, json_pieces),
    )
}
"""By name, which is the ending of the file too."""


def file_name(export: LotExport, chosen: Format) -> str:
    """Return what a file of the export is called, in characters that every system takes."""
    plain = "".join(c if c.isascii() and (c.isalnum() or c in "-_") else "_" for c in export.lot)
    return f"lot-{plain}.{chosen.name}"
