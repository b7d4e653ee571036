"""A lot as CSV: one long table of the columns of `rows`, facts first, then the readings by time.

One file instead of one for each kind: it is attached to a mail, opened and put beside that of
another lot without a second thought, and a filter on `kind` gives each table in one move. The
facts come first, because a spreadsheet cuts off what follows its row 1,048,576, and a long lot has
more readings than that.

By RFC 4180: a header line, CRLF behind every record, quotes where a field needs them. In UTF-8
without a mark of the byte order, numbers with a point, nothing where there is no value.

Words and names that came from people may begin with a character that a spreadsheet takes for the
beginning of a formula. Such a field gets an apostrophe before it, the usual guard against what
OWASP calls CSV injection (its list of characters; the tab and the line ends too). The other
formats hold the text as it was written.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from itertools import repeat

from api.export.lot_export import LotExport, Piece
from api.export.reading_rows import (
    Label,
    ReadingRows,
    labels,
    moment,
    moments,
    quality_names,
    reading_rows,
)
from api.export.rows import COLUMNS, US_PER_S, Fact, facts

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")

Cell = str | int | float | None


def csv_pieces(export: LotExport) -> Iterator[Piece]:
    """Give the file piece by piece. Blocks. Raises StoreError."""
    opened_us = export.record.opened.at_us
    told = (_fact_cells(export.lot, opened_us, fact) for fact in facts(export))
    yield Piece(_lines([COLUMNS, *told]))
    lot = guarded(export.lot)
    shown = [label._replace(name=guarded(label.name)) for label in labels(export.channels)]
    for found in export.slices():
        rows = reading_rows(found, export.channels, opened_us)
        yield Piece(_lines(_reading_cells(lot, shown, rows)), len(rows.places))


def guarded(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _lines(rows: Iterable[Iterable[Cell]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows(rows)
    return text.getvalue().encode()


def _fact_cells(lot: str, opened_us: int, fact: Fact) -> tuple[Cell, ...]:
    return (
        guarded(lot),
        moment(fact.time_us),
        (fact.time_us - opened_us) / US_PER_S,
        fact.kind,
        guarded(fact.channel or ""),
        fact.role,
        fact.value,
        fact.unit,
        None,
        None,
        guarded(fact.name or ""),
        fact.pitcher,
        fact.vessel,
        fact.target,
        fact.low,
        fact.high,
        moment(fact.ended_us),
        guarded(fact.text or ""),
    )


def _reading_cells(
    lot: str, shown: Sequence[Label], rows: ReadingRows
) -> Iterator[tuple[Cell, ...]]:
    of_each = [shown[place] for place in rows.places.tolist()]
    nothing = repeat(None)
    return zip(
        *(repeat(lot), moments(rows.times_us), rows.seconds, repeat("reading")),
        *([label.name for label in of_each], [label.role for label in of_each]),
        *(rows.values, [label.unit for label in of_each], quality_names(rows.qualities)),
        *(["true" if late else "false" for late in rows.late],),
        *(nothing, nothing, nothing, nothing, nothing, nothing, nothing, nothing),
        strict=False,  # what repeats has no end
    )
