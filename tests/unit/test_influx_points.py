"""Lines of points: by the rules of the published reference, and as the client library writes them.

https://docs.influxdata.com/influxdb/v1/write_protocols/line_protocol_reference/
"""

import re
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
from alarm_samples import raised
from hypothesis import example, given
from hypothesis import strategies as st
from influxdb_client.client.write import point

from collector.readings import Channel, Quality, Quantity, Reading, Role
from collector.store import StoredEvent
from collector.store.influx.points import Lines, fixed_points, number, tag, text
from collector.units import from_fixed

CHANNEL = Channel("east scale", "east, by the door", Role.SCALE, None)
LINES = Lines({CHANNEL.name: CHANNEL})
READING = Reading(CHANNEL.name, 1_795_600_000_123_456, 180_002, Quality.IN_MOTION)

# Printable names, as the config takes them: without / \ + # (collector/instrument_config.py).
NAMES = st.text(
    st.characters(exclude_categories=["C", "Z"], exclude_characters="/\\+#") | st.just(" "),
    min_size=1,
    max_size=64,
).map(str.strip)
FIXED = st.integers(-(10**12), 10**12)

# An unescaped comma or space ends a tag; an unescaped quote ends a string.
_TAG_VALUE = re.compile(r"(?:\\[,= ]|[^,= \\\n])+")
_STRING = re.compile(r'"(?:\\["\\]|[^"\\\n])*"')


def library_line(
    measurement: str, tags: dict[str, str], fields: dict[str, float | str], at_ns: int
) -> str:
    """Return a point as the client library writes it."""
    untyped: Any = point.Point
    parts = {"measurement": measurement, "tags": tags, "fields": fields, "time": at_ns}
    return str(untyped.from_dict(parts).to_line_protocol())


def unescaped(written: str, specials: str) -> str:
    """Read what the reference says a backslash before these characters means."""
    return re.sub(rf"\\([{re.escape(specials)}])", r"\1", written)


# ---------------------------------------------------------------- readings


def test_a_reading_is_one_line_with_the_time_it_was_taken() -> None:
    assert LINES.reading(READING) == (
        "reading,bench=east\\,\\ by\\ the\\ door,channel=east\\ scale,role=scale"
        " quality=1,value=180.002 1795600000123456000"
    )


@given(NAMES.filter(bool), NAMES.filter(bool), FIXED, st.sampled_from(Quality))
def test_a_reading_is_what_the_client_library_writes(
    name: str, bench: str, value: int, quality: Quality
) -> None:
    channel = Channel(name, bench, Role.PITCHER, None)
    reading = Reading(name, READING.taken_us, value, quality)
    tags = {"channel": name, "bench": bench, "role": "pitcher"}
    fields: dict[str, float | str] = {"value": value / 1000, "quality": float(quality)}
    theirs = library_line("reading", tags, fields, READING.taken_us * 1000)
    assert Lines({name: channel}).reading(reading) == theirs


@given(st.lists(FIXED, max_size=50), st.sampled_from(Quantity))
@example([2**51, -(2**51), 0, 1, -1], Quantity.MASS)
def test_a_value_comes_back_as_the_integer_it_was(values: list[int], quantity: Quantity) -> None:
    sent = [float(number(from_fixed(value, quantity))) for value in values]
    assert fixed_points(np.array(sent, dtype=np.float64), quantity).tolist() == values


@given(FIXED)
def test_a_number_is_a_float_of_the_reference(value: int) -> None:
    """No `i` behind it, which would make it an integer, and neither NaN nor infinite."""
    assert re.fullmatch(r"-?\d+(\.\d+)?(e[+-]?\d+)?", number(from_fixed(value, Quantity.MASS)))


def test_a_channel_that_nobody_knows_has_no_empty_tags() -> None:
    line = Lines({}).reading(msgspec.structs.replace(READING, channel="gone"))
    assert line == "reading,channel=gone quality=1,value=180.002 1795600000123456000"


def test_quality_and_lateness_are_one_number_as_in_the_store() -> None:
    late = Reading(CHANNEL.name, 1, 2_500, Quality.SUSPECT, late=True)
    assert LINES.reading(late).endswith(" quality=6,value=2.5 1000")


def test_the_guide_names_the_fields_that_are_written() -> None:
    guide = Path(__file__).parents[2] / "deploy" / "influxdb" / "README.md"
    (row,) = re.findall(r"^\| `reading` \|.*$", guide.read_text("utf-8"), re.MULTILINE)
    told = re.findall(r"`(\w+)`", row.split("|")[3])
    written = Lines({}).reading(Reading("gone", 1, 2_500, late=True)).split(" ")[1]
    assert sorted(told) == [field.partition("=")[0] for field in written.split(",")]


# ---------------------------------------------------------------- events


def test_an_event_carries_its_number_its_lot_and_its_json() -> None:
    event = msgspec.structs.replace(raised("a"), at_us=1_795_600_000_000_001, bench="e w", lot="x")
    line = LINES.event(StoredEvent(40_017, event))
    head, _, rest = line.partition(' body="')
    assert head == "event,bench=e\\ w,kind=alarm-raised"
    assert rest.endswith('",lot="x",seq=40017 1795600000000001017')


def test_events_of_one_microsecond_have_times_of_their_own() -> None:
    event = raised("a")
    times = {LINES.event(StoredEvent(n, event)).rpartition(" ")[2] for n in range(500, 1500)}
    assert len(times) == 1000
    assert {int(time) // 1000 for time in times} == {event.at_us}


def test_an_event_without_bench_and_lot_has_neither_tag_nor_field() -> None:
    event = msgspec.structs.replace(raised("a"), bench=None, lot=None)
    line = LINES.event(StoredEvent(1, event))
    assert line.startswith("event,kind=alarm-raised body=")
    assert ",lot=" not in line
    assert ",seq=1 " in line


@given(st.text(max_size=40))
def test_an_event_is_what_the_client_library_writes(words: str) -> None:
    event = msgspec.structs.replace(raised("a"), message=words, bench="b", lot="l")
    body = msgspec.json.encode(event).decode()
    fields: dict[str, float | str] = {"seq": 5.0, "lot": "l", "body": body}
    tags = {"bench": "b", "kind": "alarm-raised"}
    theirs = library_line("event", tags, fields, event.at_us * 1000 + 5)
    assert LINES.event(StoredEvent(5, event)) == theirs


# ---------------------------------------------------------------- escaping


@given(st.text(min_size=1))
@example("ends with a backslash\\")
@example("two\nlines\\,")
def test_any_text_makes_a_tag_that_ends_where_it_should(value: str) -> None:
    assert _TAG_VALUE.fullmatch(tag(value))


@given(NAMES.filter(bool))
def test_a_name_of_a_config_is_read_back_from_its_tag(name: str) -> None:
    assert unescaped(tag(name), ",= ") == name


@given(st.text())
@example('"\\"\n\r')
def test_any_text_makes_a_string_that_ends_where_it_should(value: str) -> None:
    written = text(value)
    assert _STRING.fullmatch(written)
    assert unescaped(written[1:-1], '"\\') == value.replace("\n", " ").replace("\r", " ")
