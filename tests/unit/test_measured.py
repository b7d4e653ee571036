"""What was measured of a pitcher when it mattered, and the load that it came to."""

import msgspec
import numpy as np
import pytest
from alarm_samples import raised
from test_bands import lot_record

from api.measured import judged, load_reached, temperature_then
from api.temperatures_then import last_at
from collector.alarms import Alarm
from collector.conclusions import Evidence, WeighingAccepted, WeighingKind
from collector.lot_record import LotRecord
from collector.readings import Quality
from collector.recipes import Window
from collector.store.records import LATE, ReadingSpan

S = 1_000_000
FRESH_US = 10 * S
WINDOW = Window(80_000, 85_000)


def span(*readings: tuple[int, int, int]) -> ReadingSpan:
    """Return readings of (second, 0.001 °C, flags)."""
    times, values, flags = zip(*readings, strict=True)
    return ReadingSpan(
        np.array(times, np.int64) * S, np.array(values, np.int64), np.array(flags, np.uint8)
    )


def test_the_last_reading_up_to_the_moment_counts() -> None:
    seen = span((1, 81_000, 0), (2, 80_500, 0), (3, 80_000, 0))
    assert last_at(seen, 2 * S + 999_999, FRESH_US) == 80_500
    assert last_at(seen, 3 * S, FRESH_US) == 80_000


def test_what_is_too_old_or_not_there_yet_says_nothing() -> None:
    seen = span((1, 81_000, 0))
    assert last_at(seen, 11 * S, FRESH_US) == 81_000
    assert last_at(seen, 11 * S + 1, FRESH_US) is None
    assert last_at(seen, S - 1, FRESH_US) is None


def test_what_is_no_good_or_came_too_late_was_not_known_then() -> None:
    seen = span((1, 81_000, 0), (2, 85_000, Quality.BAD), (3, 70_000, LATE))
    assert last_at(seen, 4 * S, FRESH_US) == 81_000


@pytest.mark.parametrize(
    ("mdegc", "off"), [(82_000, False), (79_750, False), (79_749, True), (85_251, True)]
)
def test_a_temperature_is_off_where_the_rules_say_so(mdegc: int, off: bool) -> None:
    shown = temperature_then(0, mdegc, WINDOW)
    assert (shown.value, shown.off) == (mdegc / 1000, off)
    assert shown.at == "1970-01-01T00:00:00.000Z"


def test_without_a_reading_or_without_a_window_nothing_is_off() -> None:
    assert temperature_then(0, None, WINDOW).off is False
    assert temperature_then(0, 20_000, None).off is False


def weighed(kind: WeighingKind, mass_mg: int) -> WeighingAccepted:
    return WeighingAccepted(
        at_us=0,
        bench="b",
        lot="1",
        kind=kind,
        pitcher=1,
        vessel=None,
        mass_mg=mass_mg,
        target_mg=mass_mg,
        tolerance_mg=1,
        evidence=Evidence("scale", 0, 0, 1),
    )


def record_with(*weighings: WeighingAccepted) -> LotRecord:
    return msgspec.structs.replace(lot_record(), weighings=weighings)


def test_the_load_is_told_of_the_wax_and_of_the_total() -> None:
    # Common practice of the trade: 8 parts to 100 of wax are 8 % of the wax, 8 / 108 of the total.
    record = record_with(weighed(WeighingKind.WAX, 100_000), weighed(WeighingKind.FRAGRANCE, 8_000))
    load = load_reached(record, 1)
    assert load is not None
    assert (load.of_wax, load.of_total) == (8.0, 7.41)


def test_before_both_are_weighed_there_is_no_load() -> None:
    assert load_reached(record_with(weighed(WeighingKind.WAX, 100_000)), 1) is None
    assert load_reached(record_with(weighed(WeighingKind.FRAGRANCE, 8_000)), 1) is None
    assert load_reached(record_with(), 1) is None


def test_fragrance_that_was_found_to_be_off_is_told_as_its_alarm_told_it() -> None:
    alarm = Alarm(raised=raised(rule="fragrance-temperature", subject=None, pitcher=1))
    record = msgspec.structs.replace(lot_record(), alarms=(alarm,))
    told = judged(record, 1)
    assert told is not None
    assert (told.value, told.off) == (94.0, True)
    assert judged(record, 2) is None


def test_an_alarm_that_was_taken_back_says_nothing_of_the_fragrance() -> None:
    seen = raised(rule="fragrance-temperature", subject=None, pitcher=1)
    outcome = "taken back: the scale turned out to show something else"
    gone = Alarm(raised=seen, outcome=outcome)
    record = msgspec.structs.replace(lot_record(), alarms=(gone,))
    assert judged(record, 1) is None
    later = msgspec.structs.replace(seen, measured=71_000)
    record = msgspec.structs.replace(record, alarms=(Alarm(raised=later), gone))
    told = judged(record, 1)
    assert told is not None
    assert told.value == 71.0
