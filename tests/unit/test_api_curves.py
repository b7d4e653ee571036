from collections.abc import Sequence

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from api.curves import GAP_US, curve
from collector.readings import Channel, Quality, Role
from collector.store.records import LATE, ReadingSpan

POT = Channel("slip-pot", "slip", Role.POT, None)
S_US = 1_000_000


def span(
    times: list[int], values: list[int], qualities: Sequence[int] | None = None
) -> ReadingSpan:
    kept = qualities or [Quality.GOOD] * len(times)
    return ReadingSpan(
        np.array(times, np.int64), np.array(values, np.int64), np.array(kept, np.uint8)
    )


def test_no_readings_are_an_empty_curve() -> None:
    shown = curve(POT, span([], []), 100)
    assert (shown.channel, shown.unit, shown.t, shown.value) == ("slip-pot", "degC", [], [])


def test_few_readings_are_all_shown_in_seconds_and_degrees() -> None:
    shown = curve(POT, span([S_US, 2 * S_US, 3 * S_US], [80_000, 80_125, 80_250]), 100)
    assert shown.t == [1.0, 2.0, 3.0]
    assert shown.value == [80.0, 80.125, 80.25]


def test_a_null_stands_where_nothing_was_collected() -> None:
    after_us = 2 * S_US + GAP_US + 1
    shown = curve(POT, span([S_US, 2 * S_US, after_us], [1000, 2000, 3000]), 100)
    assert shown.value == [1.0, 2.0, None, 3.0]
    assert shown.t == sorted(shown.t)


def test_a_pause_within_an_instruments_patience_is_no_gap() -> None:
    shown = curve(POT, span([S_US, S_US + GAP_US], [1000, 2000]), 100)
    assert shown.value == [1.0, 2.0]


def test_a_reading_without_a_number_is_not_drawn() -> None:
    qualities = [Quality.GOOD, Quality.BAD, Quality.SUSPECT]
    shown = curve(POT, span([1, 2, 3], [5000, 0, 6000], qualities), 100)
    assert shown.value == [5.0, 6.0]


def test_a_reduced_curve_keeps_its_peak_and_its_ends() -> None:
    count = 20_000
    values = [50_000 + n % 7 for n in range(count)]
    values[12_345] = 95_000
    shown = curve(POT, span([n * S_US // 2 for n in range(count)], values), 200)
    assert max(v for v in shown.value if v is not None) == 95.0
    assert (shown.t[0], shown.t[-1]) == (0.0, (count - 1) / 2)
    assert len(shown.t) <= 210


def test_a_reading_that_came_late_is_drawn_if_it_has_a_number() -> None:
    qualities = [Quality.GOOD, LATE | Quality.SUSPECT, LATE | Quality.BAD]
    shown = curve(POT, span([1, 2, 3], [5000, 5500, 0], qualities), 100)
    assert shown.value == [5.0, 5.5]


STRETCH = st.lists(st.integers(20_000, 90_000), min_size=1, max_size=60)


@given(st.lists(STRETCH, min_size=1, max_size=12), st.integers(2, 200))
def test_every_gap_stays_and_every_stretch_keeps_its_ends_and_extremes(
    stretches: list[list[int]], points: int
) -> None:
    times: list[int] = []
    for stretch in stretches:
        start_us = times[-1] + GAP_US + 1 if times else 0
        times += [start_us + n * S_US for n in range(len(stretch))]
    shown = curve(POT, span(times, [value for part in stretches for value in part]), points)
    drawn = parts(shown.value)
    assert len(drawn) == len(stretches)
    for part, stretch in zip(drawn, stretches, strict=True):
        ends = (part[0], part[-1], min(part), max(part))
        told = (stretch[0], stretch[-1], min(stretch), max(stretch))
        assert ends == tuple(value / 1000 for value in told)
    assert shown.t == sorted(shown.t)
    assert len(shown.t) <= points + 5 * len(stretches)


def parts(values: Sequence[float | None]) -> list[list[float]]:
    """Return the stretches between the nulls."""
    found: list[list[float]] = [[]]
    for value in values:
        if value is None:
            found.append([])
        else:
            found[-1].append(value)
    return found
