"""The files of an export, read back by programs that are not ours.

CSV by the csv module of Python's standard library, whose default dialect writes and reads what RFC
4180 describes; JSON lines by its json module (RFC 8259); Parquet by DuckDB, which has a reader of
its own, and by Arrow. What comes back is held against the curve that the store gives.
"""

import csv
import io
import json
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import duckdb
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from export_samples import (
    CLOSED_US,
    JUG,
    NOTE,
    all_readings,
    keep_lot,
    late_readings,
    removal,
    sample_events,
    second_thoughts,
)
from store_samples import LOT, RECIPE, SCALE, START_US

from api.export import parquet_table
from api.export.formats import FORMATS, FormatName
from api.export.lot_export import read_export
from api.export.rows import COLUMNS
from collector.errors import NotFoundError, PourkeepError
from collector.events import encode
from collector.readings import Quality, Reading
from collector.store import History

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
PER_UNIT = 1000
QUALITY = {Quality.GOOD: "good", Quality.IN_MOTION: "in motion", Quality.SUSPECT: "suspect"}

Row = Mapping[str, Any]
Point = tuple[str, int, float | None, str, bool]


def written(folder: Path, name: FormatName) -> bytes:
    export = read_export(History(folder), LOT)
    pieces = list(FORMATS[name].pieces(export))
    assert sum(piece.readings for piece in pieces) == export.readings
    return b"".join(piece.data for piece in pieces)


def microseconds(text: str) -> int:
    """Return an RFC 3339 time as microseconds since 1970."""
    moment = datetime.fromisoformat(text)
    assert text.endswith("Z")
    assert moment.utcoffset() == timedelta(0)
    return (moment - EPOCH) // timedelta(microseconds=1)


def expected_points() -> list[Point]:
    """Return all readings as the outside is to see them."""
    return [
        (
            reading.channel,
            reading.taken_us,
            None if reading.quality is Quality.BAD else reading.value / PER_UNIT,
            QUALITY.get(reading.quality, "bad"),
            reading.late,
        )
        for reading in all_readings()
    ]


def curve_points(folder: Path, channel: str) -> list[tuple[int, float]]:
    """Return the usable readings of a channel as the store's curve has them."""
    span = History(folder).readings(channel, START_US, CLOSED_US)
    times, values, _ = span.where(span.qualities < Quality.BAD)
    return list(zip(times.tolist(), (values / PER_UNIT).tolist(), strict=True))


def csv_rows(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))


def json_rows(data: bytes) -> list[dict[str, Any]]:
    assert data.endswith(b"\n")
    return [json.loads(line) for line in data.decode("utf-8").split("\n")[:-1]]


def kinds(rows: list[Any]) -> set[str]:
    return {row["kind"] for row in rows}


# ------------------------------------------------------------------ CSV


@pytest.mark.asyncio
async def test_csv_gives_back_every_reading(tmp_path: Path) -> None:
    data = written(await keep_lot(tmp_path), "csv")
    points = [
        (
            row["channel"],
            microseconds(row["time"]),
            float(row["value"]) if row["value"] else None,
            row["quality"],
            {"true": True, "false": False}[row["late"]],
        )
        for row in csv_rows(data)
        if row["kind"] == "reading"
    ]
    assert points == expected_points()
    for channel in (SCALE, JUG):
        usable = [(at, value) for name, at, value, *_ in points if name == channel]
        assert [p for p in usable if p[1] is not None] == curve_points(tmp_path, channel)


@pytest.mark.asyncio
async def test_csv_keeps_to_rfc_4180(tmp_path: Path) -> None:
    """Section 2: CRLF ends each record, the last too; a header; as many fields in every record."""
    data = written(await keep_lot(tmp_path), "csv")
    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n")
    assert data.startswith(b"lot,time,seconds,kind,")  # no mark of the byte order
    table = list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))
    assert table[0] == list(COLUMNS)
    assert {len(record) for record in table} == {len(COLUMNS)}
    # 2.6 and 2.7: a field with commas or quotes is quoted, its quotes doubled
    assert b'"\'=HYPERLINK(""http://example.org"";""a, b"")"' in data


@pytest.mark.asyncio
async def test_a_spreadsheet_takes_no_words_for_a_formula(tmp_path: Path) -> None:
    rows = csv_rows(written(await keep_lot(tmp_path), "csv"))
    (verdict,) = [row for row in rows if row["kind"] == "verdict"]
    assert verdict["text"] == f"'{NOTE}"
    words = [row[name] for row in rows for name in ("lot", "channel", "name", "text")]
    assert not [word for word in words if word.startswith(("=", "+", "-", "@", "\t", "\r"))]


@pytest.mark.asyncio
async def test_what_was_taken_back_is_told_apart_from_what_stands(tmp_path: Path) -> None:
    folder = await keep_lot(tmp_path, *second_thoughts())
    told = {(row["kind"], row["text"]) for row in csv_rows(written(folder, "csv"))}
    assert ("mark taken back", "begin") in told
    assert "mark" not in {kind for kind, _ in told}
    assert {("note", "One wick leans."), ("note taken back", "Two wicks lean.")} <= told


@pytest.mark.asyncio
async def test_csv_tells_what_happened_before_the_readings(tmp_path: Path) -> None:
    rows = csv_rows(written(await keep_lot(tmp_path), "csv"))
    first_reading = next(n for n, row in enumerate(rows) if row["kind"] == "reading")
    facts = rows[:first_reading]
    assert kinds(rows[first_reading:]) == {"reading"}
    assert {row["lot"] for row in rows} == {LOT}
    assert [row["kind"] for row in facts] == [
        *("lot", "late", "weighing", "phase", "mark", "deviation", "gap", "clock", "verdict"),
    ]
    by_kind = {row["kind"]: row for row in facts}
    shown = {name: value for name, value in by_kind["weighing"].items() if value}
    assert shown == {
        "lot": LOT,
        "time": "2026-11-25T09:46:44.000000Z",
        "seconds": "4.0",
        "kind": "weighing",
        "channel": SCALE,
        "role": "scale",
        "value": "180.002",
        "unit": "g",
        "name": "fill",
        "pitcher": "1",
        "vessel": "1",
        "target": "180.0",
        "low": "178.0",
        "high": "182.0",
    }
    deviation = by_kind["deviation"]
    assert (deviation["name"], deviation["channel"], deviation["role"]) == (
        *("pour-temperature", JUG, "pitcher"),
    )
    assert (deviation["value"], deviation["low"], deviation["high"]) == ("66.5", "57.0", "63.0")
    assert deviation["text"] == "Too hot. Wait. It cooled. seen"
    assert (by_kind["phase"]["name"], by_kind["phase"]["value"]) == ("stir", "30.0")
    assert (by_kind["phase"]["seconds"], by_kind["phase"]["ended"]) == (
        *("60.0", "2026-11-25T09:48:10.000000Z"),
    )
    assert by_kind["mark"]["text"] == "begin"
    assert (by_kind["gap"]["seconds"], by_kind["gap"]["ended"]) == (
        *("540.0", "2026-11-25T09:56:20.000000Z"),
    )
    assert (by_kind["clock"]["value"], by_kind["late"]["value"]) == ("-2.5", "2")
    assert by_kind["lot"]["name"] == RECIPE.name


# ------------------------------------------------------------------ JSON lines


@pytest.mark.asyncio
async def test_json_lines_give_back_every_reading_and_event(tmp_path: Path) -> None:
    rows = json_rows(written(await keep_lot(tmp_path), "jsonl"))
    readings = [row for row in rows if row["kind"] == "reading"]
    assert [
        (r["channel"], microseconds(r["time"]), r["value"], r["quality"], r["late"])
        for r in readings
    ] == expected_points()
    assert {(r["channel"], r["role"], r["unit"]) for r in readings} == {
        (SCALE, "scale", "g"),
        (JUG, "pitcher", "degC"),
    }
    told = [row["body"] for row in rows if row["kind"] == "event"]
    assert told == [json.loads(encode(e)) for e in sample_events() if e.lot == LOT]
    assert rows[-1] == {"kind": "end", "readings": len(all_readings())}


@pytest.mark.asyncio
async def test_the_first_line_says_what_the_file_is(tmp_path: Path) -> None:
    first, *rest = json_rows(written(await keep_lot(tmp_path), "jsonl"))
    assert (first["kind"], first["format"], first["version"]) == ("lot", "pourkeep lot export", 1)
    assert (first["readings"], first["readings_removed"]) == (len(all_readings()), False)
    assert first["until"] == "2026-11-25T09:56:40.000Z"
    assert (first["lot"]["id"], first["lot"]["recipe"]["name"]) == (LOT, RECIPE.name)
    assert kinds(rest) == {
        *("late", "weighing", "phase", "mark", "deviation", "gap", "clock", "verdict"),
        *("event", "reading", "end"),
    }
    (verdict,) = [row for row in rest if row["kind"] == "verdict"]
    assert verdict["text"] == NOTE  # as it was written: no spreadsheet opens this


# ------------------------------------------------------------------ Parquet


def parquet_file(folder: Path) -> Path:
    data = written(folder, "parquet")
    file = folder / "lot.parquet"
    file.write_bytes(data)
    return file


@pytest.mark.asyncio
@pytest.mark.parametrize("group", [50, 65_536])
async def test_parquet_gives_back_every_reading_to_another_reader(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, group: int
) -> None:
    monkeypatch.setattr(parquet_table, "GROUP_ROWS", group)
    file = parquet_file(await keep_lot(tmp_path))
    with duckdb.connect() as db:
        found = db.execute(
            "SELECT channel, epoch_us(time), value, quality, late FROM read_parquet(?)"
            " WHERE kind = 'reading'",
            [str(file)],
        ).fetchall()
    assert found == expected_points()


@pytest.mark.asyncio
async def test_parquet_has_the_rows_of_the_csv(tmp_path: Path) -> None:
    file = parquet_file(await keep_lot(tmp_path))
    table = pq.read_table(file).to_pylist()
    rows = csv_rows(written(tmp_path, "csv"))
    assert len(table) == len(rows)
    for typed, plain in zip(table, rows, strict=True):
        for name in COLUMNS:
            assert read_as(typed[name], plain[name]) == typed[name], (name, typed)


def read_as(like: object, text: str) -> object:
    """Return a field of the CSV as a value of the type that another one has."""
    if like is None:
        return text or None
    if isinstance(like, datetime):
        return EPOCH + timedelta(microseconds=microseconds(text))
    if isinstance(like, bool):
        return {"true": True, "false": False}[text]
    if isinstance(like, float | int):
        return float(text)
    return text.removeprefix("'")


@pytest.mark.asyncio
async def test_parquet_is_typed_and_says_what_it_is(tmp_path: Path) -> None:
    file = parquet_file(await keep_lot(tmp_path))
    schema = pq.read_schema(file)
    assert schema.names == list(COLUMNS)
    assert schema.field("time").type == pa.timestamp("us", tz="UTC")
    assert schema.field("value").type == pa.float64()
    assert schema.field("late").type == pa.bool_()
    assert pa.types.is_dictionary(schema.field("channel").type)
    first = json_rows(written(tmp_path, "jsonl"))[0]
    assert json.loads((schema.metadata or {})[b"pourkeep"]) == first


@pytest.mark.asyncio
async def test_parquet_goes_out_in_groups_of_rows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parquet_table, "GROUP_ROWS", 50)
    await keep_lot(tmp_path)
    file = pq.ParquetFile(parquet_file(tmp_path))
    assert file.num_row_groups > 2


@pytest.mark.asyncio
async def test_where_parquet_cannot_be_written_that_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda _name: None)
    with pytest.raises(PourkeepError, match=r"pyarrow is not installed.*csv or jsonl"):
        FORMATS["parquet"].check()


# ------------------------------------------------------------------ what is missing


@pytest.mark.asyncio
@pytest.mark.parametrize("name", list(FORMATS))
async def test_a_file_says_itself_that_readings_were_removed(
    tmp_path: Path, name: FormatName
) -> None:
    await keep_lot(tmp_path, removal())
    data = written(tmp_path, name)
    if name == "parquet":
        file = tmp_path / "lot.parquet"
        file.write_bytes(data)
        rows: list[Any] = pq.read_table(file).to_pylist()
    else:
        rows = json_rows(data) if name == "jsonl" else list(csv_rows(data))
    (told,) = [row for row in rows if row["kind"] == "removed"]
    assert "removed from the store" in told["text"]
    assert len([row for row in rows if row["kind"] == "reading"]) == len(all_readings())


@pytest.mark.asyncio
async def test_rows_and_blocks_make_the_same_files(tmp_path: Path) -> None:
    sealed = await keep_lot(tmp_path / "sealed")
    rows = await keep_lot(tmp_path / "rows", seal=False)
    assert written(sealed, "csv") == written(rows, "csv")
    assert written(sealed, "jsonl") == written(rows, "jsonl")


@pytest.mark.asyncio
async def test_a_lot_that_is_not_there_is_not_found(tmp_path: Path) -> None:
    await keep_lot(tmp_path)
    with pytest.raises(NotFoundError):
        read_export(History(tmp_path), "1999-01-01-1")


@pytest.mark.asyncio
async def test_late_readings_are_marked_in_every_format(tmp_path: Path) -> None:
    await keep_lot(tmp_path)
    expected = [reading.taken_us for reading in late_readings()]
    late = [r for r in csv_rows(written(tmp_path, "csv")) if r["late"] == "true"]
    assert [microseconds(row["time"]) for row in late] == expected


def test_the_sample_has_what_it_is_said_to_have() -> None:
    found: list[Reading] = all_readings()
    assert {reading.quality for reading in found} == set(Quality)
    assert any(reading.value < 0 for reading in found)
