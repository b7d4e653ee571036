import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.readings import Quality, Reading
from collector.store.records import (
    LATE,
    NO_READINGS,
    ReadingSpan,
    stored_quality,
    stored_reading,
    united,
)


def span_of(readings: dict[int, int], flag: int = 0) -> ReadingSpan:
    times = np.array(sorted(readings), np.int64)
    values = np.array([readings[t] for t in sorted(readings)], np.int64)
    return ReadingSpan(times, values, np.full(len(times), flag, np.uint8))


def told(span: ReadingSpan) -> dict[int, int]:
    return dict(zip(span.times.tolist(), span.values.tolist(), strict=True))


@pytest.mark.parametrize("quality", Quality)
@pytest.mark.parametrize("late", [False, True])
def test_quality_and_lateness_are_stored_as_one_number(quality: Quality, late: bool) -> None:
    reading = Reading("bay-scale", 5, -7, quality, late)
    assert stored_reading("bay-scale", 5, -7, stored_quality(reading)) == reading


def test_a_late_reading_has_its_quality_and_is_not_judged() -> None:
    span = ReadingSpan(
        np.array([1, 2, 3]), np.array([10, 20, 30]), np.array([3, LATE | 1, 0], np.uint8)
    )
    assert span.qualities.tolist() == [3, 1, 0]
    assert told(span.judged) == {1: 10, 3: 30}


def test_a_part_of_a_span_has_both_its_ends() -> None:
    assert told(span_of({1: 1, 2: 2, 3: 3, 4: 4}).between(2, 3)) == {2: 2, 3: 3}
    assert told(span_of({1: 1}).between(2, 3)) == {}


def test_nothing_united_is_nothing() -> None:
    assert told(united([])) == {}
    assert united([NO_READINGS, NO_READINGS]).values.dtype == np.int64


@given(st.lists(st.dictionaries(st.integers(-50, 50), st.integers(-9, 9)), max_size=5))
def test_spans_unite_in_the_order_of_time_and_the_earlier_one_stays(
    spans: list[dict[int, int]],
) -> None:
    whole = united([span_of(span) for span in spans])
    expected: dict[int, int] = {}
    for span in spans:
        expected = span | expected
    assert told(whole) == expected
    assert whole.times.tolist() == sorted(expected)
