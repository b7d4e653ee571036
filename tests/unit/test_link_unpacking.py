import logging
import time

import pytest

from collector.instrument_config import InstrumentConfig, Manual, Mqtt
from collector.link.unpacking import MOST_REASONS, OTHERS, Unpacker, parted
from collector.readers.link import Sampled
from collector.readings import Quality, Quantity, Role, Sample
from collector.senml import MAX_BYTES

NOW_US = 1_795_600_000_000_000
INSTRUMENTS = [
    InstrumentConfig("scale", "east", Role.SCALE, Mqtt("urn:dev:1"), 10_000_000),
    InstrumentConfig("jug", "east", Role.PITCHER, Mqtt("jug"), 10_000_000),
    InstrumentConfig("typed", "east", Role.POT, Manual()),
    InstrumentConfig("west-jug", "west", Role.PITCHER, Mqtt("west-jug"), 10_000_000),
]


def unpacker() -> Unpacker:
    return Unpacker("east", INSTRUMENTS)


def mass(name: str, taken_us: int, value: int = 0) -> Sampled:
    return Sampled(name, taken_us, Sample(Quantity.MASS, value))


def test_samples_come_under_the_names_of_the_config() -> None:
    data = b'[{"bn":"urn:dev:1","u":"kg","v":0.25},{"bn":"jug","t":-1,"v":81,"quality":"suspect"}]'
    assert unpacker().samples(data, NOW_US) == [
        Sampled("jug", NOW_US - 1_000_000, Sample(Quantity.TEMPERATURE, 81_000, Quality.SUSPECT)),
        Sampled("scale", NOW_US, Sample(Quantity.MASS, 250_000)),
    ]


def test_what_was_understood_and_has_no_place_is_told_apart_from_what_was_not() -> None:
    made = unpacker()
    made.samples(b'[{"n":"jug","u":"g","v":1},{"n":"stranger","u":"g","v":1}]', NOW_US)
    made.samples(b"[broken", NOW_US)
    not_kept = made.not_kept("jug")
    assert list(not_kept.values()) == [1, 1]
    assert all(why.endswith("confirmed, but not kept here") for why in not_kept)
    assert len(made.rejected("jug")) == 3
    assert list(made.not_kept("scale")) == [
        'no instrument here has the device "stranger": confirmed, but not kept here'
    ]


def test_what_is_no_sample_is_counted_by_reason() -> None:
    made = unpacker()
    data = (
        b'[{"n":"jug","u":"g","v":1},{"n":"typed","v":1},{"n":"west-jug","v":1},{"n":"jug","v":2}]'
    )
    (sampled,) = made.samples(data, NOW_US)
    assert sampled.sample.value == 2_000
    assert made.samples(b"[", NOW_US) == []
    assert made.rejected("jug") == {
        '"g" measures a mass; expected a temperature, such as "80 degC": '
        "confirmed, but not kept here": 1,
        'no instrument here has the device "typed": confirmed, but not kept here': 1,
        'no instrument here has the device "west-jug": confirmed, but not kept here': 1,
        "not SenML in JSON: Input data was truncated": 1,
    }
    assert len(made.rejected("scale")) == 3, "a wrong unit is the jug's alone"


@pytest.mark.parametrize("data", [b"[", b'[{"n":"typed","v":1}]', b'[{"n":"jug","u":"g","v":1}]'])
def test_what_is_not_kept_is_an_error_in_the_log_once(
    data: bytes, caplog: pytest.LogCaptureFixture
) -> None:
    made = unpacker()
    for _ in range(3):
        made.samples(data, NOW_US)
    (line,) = caplog.records
    assert line.levelno == logging.ERROR
    assert list(made.rejected("jug").values()) == [3]


def test_a_stranger_cannot_fill_the_memory_with_reasons(caplog: pytest.LogCaptureFixture) -> None:
    made = unpacker()
    for number in range(3 * MOST_REASONS):
        made.samples(f'[{{"n":"stranger-{number}","v":1}}]'.encode(), NOW_US)
    made.samples(b"x" * (MAX_BYTES + 1), NOW_US)
    rejected = made.rejected("jug")
    assert len(rejected) == MOST_REASONS + 1
    assert sum(rejected.values()) == 3 * MOST_REASONS + 1
    assert rejected[OTHERS] == 2 * MOST_REASONS + 1
    assert len(caplog.records) == MOST_REASONS + 1, "nor the log"


def test_a_message_of_nothing_but_strangers_takes_no_longer_than_any_other() -> None:
    """Ten thousand names: looking at all records for each would take seconds."""
    records = ",".join(f'{{"n":"nobody{number}","v":3}}' for number in range(9_999))
    began_s = time.process_time()
    assert unpacker().samples(f"[{records}]".encode(), NOW_US) == []
    assert time.process_time() - began_s < 1.0


def test_samples_that_share_a_microsecond_follow_each_other_by_name() -> None:
    given = [mass("b", 5), mass("a", 5), mass("c", 6), mass("a", 4)]
    apart = [("a", 4), ("a", 5), ("b", 6), ("c", 7)]
    assert [(one.instrument, one.taken_us) for one in parted(given)] == apart
    assert parted(reversed(given)) == parted(given)


def test_the_same_sample_twice_is_one() -> None:
    assert parted([mass("a", 5, 1), mass("a", 5, 1)]) == [mass("a", 5, 1)]
