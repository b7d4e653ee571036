"""SenML packs, held against the examples and rules of RFC 8428."""

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.errors import PackError
from collector.readings import Quality, Quantity, Reading, Sample
from collector.senml import MAX_BYTES, MAX_RECORDS, NAME, Record, decode, encode
from collector.units import MAX_FIXED

NOW_US = 1_795_600_000_000_000
QUANTITIES = {
    "east-scale": Quantity.MASS,
    "east-pot": Quantity.TEMPERATURE,
    "east-air": Quantity.HUMIDITY,
    "east-weather": Quantity.PRESSURE,
}
PROBE = "urn:dev:ow:10e2073a01080063"

# RFC 8428, section 5.1.1
SINGLE = b'[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]'

# RFC 8428, section 5.1.2, the second example
PREVIOUS_SECONDS = b"""[
  {"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"A","bver":5,
   "n":"voltage","u":"V","v":120.1},
  {"n":"current","t":-5,"v":1.2}, {"n":"current","t":-4,"v":1.3},
  {"n":"current","t":-3,"v":1.4}, {"n":"current","t":-2,"v":1.5},
  {"n":"current","t":-1,"v":1.6}, {"n":"current","v":1.7}]"""

# RFC 8428, section 5.1.3, and its resolved form of section 5.1.4 as rows
MULTIPLE = b"""[
  {"bn":"urn:dev:ow:10e2073a01080063","bt":1.320067464e+09,"bu":"%RH","v":20},
  {"u":"lon","v":24.30621}, {"u":"lat","v":60.07965},
  {"t":60,"v":20.3}, {"u":"lon","t":60,"v":24.30622}, {"u":"lat","t":60,"v":60.07965},
  {"t":120,"v":20.7}, {"u":"lon","t":120,"v":24.30623}, {"u":"lat","t":120,"v":60.07966},
  {"u":"%EL","t":150,"v":98},
  {"t":180,"v":21.2}, {"u":"lon","t":180,"v":24.30628}, {"u":"lat","t":180,"v":60.07967}]"""
RESOLVED = [
    ("%RH", 1320067464, "20"),
    ("lon", 1320067464, "24.30621"),
    ("lat", 1320067464, "60.07965"),
    ("%RH", 1320067524, "20.3"),
    ("lon", 1320067524, "24.30622"),
    ("lat", 1320067524, "60.07965"),
    ("%RH", 1320067584, "20.7"),
    ("lon", 1320067584, "24.30623"),
    ("lat", 1320067584, "60.07966"),
    ("%EL", 1320067614, "98"),
    ("%RH", 1320067644, "21.2"),
    ("lon", 1320067644, "24.30628"),
    ("lat", 1320067644, "60.07967"),
]

# RFC 8428, section 5.1.5
TYPES = b"""[
  {"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","u":"Cel","v":23.1},
  {"n":"label","vs":"Machine Room"}, {"n":"open","vb":false}, {"n":"nfv-reader","vd":"aGkgCg"}]"""

# RFC 8428, section 5.1.6
RESOURCES = b"""[
  {"bn":"2001:db8::2/","bt":1.320078429e+09,"n":"temperature","u":"Cel","v":25.2},
  {"n":"humidity","u":"%RH","v":30},
  {"bn":"2001:db8::1/","n":"temperature","u":"Cel","v":12.3},
  {"n":"humidity","u":"%RH","v":67}]"""

# RFC 8428, section 5.1.7, the first example
SET_POINTS = b"""[
  {"bn":"urn:dev:ow:10e2073a01080063:"},
  {"n":"temp","u":"Cel","v":23.1}, {"n":"heat","u":"/","v":1}, {"n":"fan","u":"/","v":0}]"""


def one(data: bytes) -> Record:
    (record,) = decode(data, NOW_US)
    return record


def refusal(data: bytes) -> str:
    with pytest.raises(PackError) as refused:
        decode(data, NOW_US)
    return refused.value.message


# ------------------------------------------------------------ what other devices send


def test_a_record_without_a_time_was_taken_now() -> None:
    assert one(SINGLE) == Record(PROBE, NOW_US, Decimal("23.1"), "Cel")


def test_times_count_from_the_base_time_back_and_forth() -> None:
    voltage, *currents = decode(PREVIOUS_SECONDS, NOW_US)
    assert (voltage.unit, voltage.taken_us) == ("V", 1_276_020_076_001_000)
    assert [r.taken_us - voltage.taken_us for r in currents] == [
        s * 1_000_000 for s in (-5, -4, -3, -2, -1, 0)
    ]
    assert [str(r.value) for r in currents] == ["1.2", "1.3", "1.4", "1.5", "1.6", "1.7"]
    assert {r.unit for r in currents} == {"A"}


def test_base_fields_are_resolved_as_the_standard_resolves_them() -> None:
    assert decode(MULTIPLE, NOW_US) == [
        Record(PROBE, seconds * 1_000_000, Decimal(value), unit)
        for unit, seconds, value in RESOLVED
    ]


def test_what_is_no_number_is_no_reading() -> None:
    records = decode(TYPES, NOW_US)
    assert [r.value for r in records] == [Decimal("23.1"), None, None, None]
    with pytest.raises(PackError, match="no number"):
        records[1].sample(Quantity.TEMPERATURE)


def test_a_base_name_holds_until_the_next_and_the_base_time_beyond() -> None:
    records = decode(RESOURCES, NOW_US)
    assert [r.name for r in records] == [
        "2001:db8::2/temperature",
        "2001:db8::2/humidity",
        "2001:db8::1/temperature",
        "2001:db8::1/humidity",
    ]
    assert {r.taken_us for r in records} == {1_320_078_429_000_000}


def test_a_record_of_base_fields_alone_measures_nothing() -> None:
    assert [r.name.rpartition(":")[2] for r in decode(SET_POINTS, NOW_US)] == [
        "temp",
        "heat",
        "fan",
    ]


@pytest.mark.parametrize(
    ("time_s", "taken_us"),
    [  # RFC 8428, section 4.5.3: the smallest absolute time is 2**28 s
        ("0", NOW_US),
        ("-2.5", NOW_US - 2_500_000),
        ("268435455", NOW_US + 268_435_455_000_000),
        ("268435456", 268_435_456_000_000),
    ],
)
def test_small_times_are_relative_to_now(time_s: str, taken_us: int) -> None:
    assert one(f'[{{"n":"a","t":{time_s},"v":1}}]'.encode()).taken_us == taken_us


def test_a_base_value_is_added_and_stands_alone_where_there_is_no_other() -> None:
    records = decode(b'[{"bv":20,"n":"a","v":0.1},{"n":"b"},{"n":"c","vs":"x"}]', NOW_US)
    assert [r.value for r in records] == [Decimal("20.1"), Decimal(20), None]


@pytest.mark.parametrize(
    ("value", "unit", "quantity", "fixed"),
    [
        ("23.1", "Cel", Quantity.TEMPERATURE, 23_100),
        ("296.25", "K", Quantity.TEMPERATURE, 23_100),
        ("73.58", "degF", Quantity.TEMPERATURE, 23_100),
        ("0.25", "kg", Quantity.MASS, 250_000),
        ("45.5", "%RH", Quantity.HUMIDITY, 45_500),
        ("1013.25", "hPa", Quantity.PRESSURE, 101_325),
        ("23.1", None, Quantity.TEMPERATURE, 23_100),
    ],
)
def test_units_of_the_same_quantity_are_understood_and_a_missing_one_is_the_usual(
    value: str, unit: str | None, quantity: Quantity, fixed: int
) -> None:
    record = Record("a", NOW_US, Decimal(value), unit)
    assert record.sample(quantity) == Sample(quantity, fixed)


@pytest.mark.parametrize(
    ("unit", "sentence"),
    [
        ("C", 'unit "C" is coulomb in SenML: expected "Cel"'),
        ("F", 'unit "F" is farad in SenML: expected "Cel"'),
        ("g", '"g" measures a mass; expected a temperature, such as "80 degC"'),
    ],
)
def test_a_unit_of_something_else_is_refused(unit: str, sentence: str) -> None:
    with pytest.raises(PackError) as refused:
        Record("a", NOW_US, Decimal(1), unit).sample(Quantity.TEMPERATURE)
    assert refused.value.message == sentence


def test_unknown_labels_are_ignored() -> None:  # RFC 8428, section 4.4
    assert one(b'[{"n":"a","v":1,"battery":3,"_x":[1]}]').value == 1


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "not SenML in JSON"),
        (b"{}", "not SenML in JSON"),
        (b'[{"n":"a","v":"x"}]', "not SenML in JSON"),
        (b'[{"n":"a","v":true}]', "not SenML in JSON"),
        (b'[{"n":"\xff","v":1}]', "not SenML in JSON"),
        (b"[" * 100_000, "not SenML in JSON"),
        (b'[{"n":"a","v":1,"must_":1}]', 'the label "must_" must be understood'),
        (b'[{"n":"a","v":1,"must\\u005f":1}]', 'the label "must_" must be understood'),
        (b'[{"bver":11,"n":"a","v":1}]', "version 11; this program reads up to 10"),
        (b'[{"v":1}]', 'record 1: "" is no name in SenML'),
        (b'[{"n":"a","v":1},{"n":"-a","v":1}]', 'record 2: "-a" is no name in SenML'),
        (b'[{"n":"a b","v":1}]', 'record 1: "a b" is no name in SenML'),
        (b'[{"n":"a","t":4294967296,"v":1}]', "a time of 4.29e+9 s is out of range"),
        (b'[{"n":"a","bt":1e308,"t":1e308,"v":1}]', "a number is out of range"),
        (b'[{"n":"a","v":1e999999}]', "a number is out of range"),
        (b'[{"n":"a","bv":1,"v":"NaN"}]', "a number is out of range"),
        (b" " * (MAX_BYTES + 1), f"the pack is longer than {MAX_BYTES} bytes"),
        (
            b"[" + b",".join([b"{}"] * (MAX_RECORDS + 1)) + b"]",
            f"the pack has more than {MAX_RECORDS} records",
        ),
    ],
)
def test_a_pack_that_cannot_be_used_is_refused_in_a_sentence(data: bytes, sentence: str) -> None:
    assert refusal(data).startswith(sentence)


@given(st.binary(max_size=200) | st.text(alphabet='[]{}":,bntuvs0129.-e', max_size=80))
def test_no_bytes_raise_anything_else(data: bytes | str) -> None:
    try:
        records = decode(data.encode() if isinstance(data, str) else data, NOW_US)
    except PackError:
        return
    for record in records:
        try:
            record.sample(Quantity.MASS)
        except PackError:
            continue


# ------------------------------------------------------------ what a bench sends

DAY_US = 86_400_000_000
LAST_US = 2**32 * 1_000_000  # in 2106


def reading_since(since_us: int) -> st.SearchStrategy[Reading]:
    return st.builds(
        Reading,
        channel=st.sampled_from(sorted(QUANTITIES)),
        taken_us=st.integers(since_us, since_us + DAY_US),
        value=st.integers(-200_000, MAX_FIXED),
        quality=st.sampled_from([Quality.GOOD, Quality.IN_MOTION, Quality.SUSPECT]),
    )


READINGS = st.integers(1_600_000_000_000_000, LAST_US - DAY_US - 1).flatmap(
    lambda since_us: st.lists(reading_since(since_us), max_size=30)
)


def read_back(data: bytes) -> list[Reading]:
    readings = []
    for record in decode(data, NOW_US):
        sample = record.sample(QUANTITIES[record.name])
        readings.append(Reading(record.name, record.taken_us, sample.value, sample.quality))
    return readings


def by_channel(readings: list[Reading]) -> list[Reading]:
    return sorted(readings, key=lambda r: r.channel)


@given(READINGS)
def test_readings_come_back_as_they_were(readings: list[Reading]) -> None:
    assert read_back(encode(readings, QUANTITIES)) == by_channel(readings)


@given(READINGS)
def test_a_reader_that_keeps_doubles_gets_the_very_microseconds(readings: list[Reading]) -> None:
    base_s, times = 0.0, []
    for record in json.loads(encode(readings, QUANTITIES)):
        base_s = float(record.get("bt", base_s))
        times.append(round((base_s + float(record["t"])) * 1_000_000))
    assert times == [r.taken_us for r in by_channel(readings)]


def test_a_pack_tells_name_unit_and_time_once() -> None:
    readings = [
        Reading("east-scale", NOW_US + 200_000, 123_450),
        Reading("east-pot", NOW_US + 300_000, 81_200),
        Reading("east-scale", NOW_US + 700_000, 125_000, Quality.IN_MOTION),
    ]
    assert json.loads(encode(readings, QUANTITIES)) == [
        {"bn": "east-pot", "bu": "Cel", "bt": 1_795_600_000, "t": 0.3, "v": 81.2},
        {"bn": "east-scale", "bu": "g", "t": 0.2, "v": 123.45},
        {"t": 0.7, "v": 125.0, "quality": "in-motion"},
    ]


def test_a_reading_without_a_usable_number_holds_none() -> None:
    bad = Reading("east-pot", NOW_US, 0, Quality.BAD)
    data = encode([bad], QUANTITIES)
    (record,) = json.loads(data)
    assert "v" not in record
    assert record["vs"]
    assert read_back(data) == [bad]


def test_every_label_and_name_written_is_allowed() -> None:  # RFC 8428, sections 4.5.1 and 12.2
    readings = [Reading(name, NOW_US, 1, Quality.SUSPECT) for name in QUANTITIES]
    for record in json.loads(encode(readings, QUANTITIES)):
        assert NAME.fullmatch(record["bn"])
        assert not any(label.endswith("_") for label in record)
        assert all(label in {"bn", "bt", "bu"} for label in record if label.startswith("b"))
