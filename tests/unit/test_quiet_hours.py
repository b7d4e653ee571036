"""Times of the day across midnight and across the changes of the clock.

The changes are those of Directive 2000/84/EC, articles 2 and 3: summer time begins and ends at
01:00 UTC on the last Sunday of March and of October, in 2026 on 29 March and 25 October.
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collector.quiet_hours import DailyTime, QuietHours, local

LISBON = ZoneInfo("Europe/Lisbon")
KOLKATA = ZoneInfo("Asia/Kolkata")  # UTC+5:30 all year
DAY_US = 86_400_000_000
NIGHT = QuietHours(DailyTime(22 * 60), DailyTime(7 * 60))

times = st.builds(DailyTime, st.integers(0, 1439))
moments = st.integers(0, 4_000_000_000_000_000)  # 1970 to 2096


def us(text: str) -> int:
    moment = datetime.fromisoformat(text).replace(tzinfo=UTC)
    return (moment - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(microseconds=1)


@given(times, moments)
def test_where_no_clock_changes_a_time_comes_once_in_every_24_hours(
    daily: DailyTime, at_us: int
) -> None:
    first_us = daily.next_us(at_us, KOLKATA)
    assert at_us < first_us <= at_us + DAY_US
    assert daily.next_us(first_us, KOLKATA) == first_us + DAY_US
    shown = local(first_us, KOLKATA)
    assert (shown.hour * 60 + shown.minute, shown.second) == (daily.minute, 0)


@given(times, times, moments)
def test_quiet_hours_begin_and_end_at_their_times(
    begin: DailyTime, end: DailyTime, at_us: int
) -> None:
    if begin == end:
        return
    hours = QuietHours(begin, end)
    begin_us, end_us = begin.next_us(at_us, KOLKATA), end.next_us(at_us, KOLKATA)
    assert hours.cover(begin_us, KOLKATA)
    assert not hours.cover(begin_us - 1, KOLKATA)
    assert not hours.cover(end_us, KOLKATA)
    assert hours.cover(end_us - 1, KOLKATA)
    assert hours.cover(at_us, KOLKATA) == (end_us < begin_us)


@pytest.mark.parametrize(
    ("at", "quiet"),
    [
        ("2026-06-10T20:59:59", False),  # 21:59:59 in Lisbon
        ("2026-06-10T21:00:00", True),
        ("2026-06-10T23:30:00", True),  # half past midnight
        ("2026-06-11T05:59:59", True),
        ("2026-06-11T06:00:00", False),
    ],
)
def test_a_night_goes_across_midnight_by_the_workshops_clock(at: str, quiet: bool) -> None:
    assert NIGHT.cover(us(at), LISBON) is quiet


def test_the_night_in_which_summer_time_begins_is_an_hour_shorter() -> None:
    begin_us = NIGHT.begin.next_us(us("2026-03-28T12:00:00"), LISBON)
    end_us = NIGHT.end.next_us(begin_us, LISBON)
    assert (begin_us, end_us) == (us("2026-03-28T22:00:00"), us("2026-03-29T06:00:00"))
    assert NIGHT.cover(end_us - 1, LISBON)
    assert not NIGHT.cover(end_us, LISBON)


def test_the_night_in_which_summer_time_ends_is_an_hour_longer() -> None:
    begin_us = NIGHT.begin.next_us(us("2026-10-24T12:00:00"), LISBON)
    end_us = NIGHT.end.next_us(begin_us, LISBON)
    assert (begin_us, end_us) == (us("2026-10-24T21:00:00"), us("2026-10-25T07:00:00"))


def test_a_time_that_the_clock_skips_comes_when_it_is_put_forward() -> None:
    skipped = DailyTime(90)  # 01:30; Lisbon goes from 01:00 to 02:00
    assert skipped.next_us(us("2026-03-28T12:00:00"), LISBON) == us("2026-03-29T01:00:00")


def test_a_time_that_comes_twice_counts_the_first_time() -> None:
    twice = DailyTime(90)  # 01:30 WEST, and an hour later 01:30 WET
    first_us = twice.next_us(us("2026-10-24T12:00:00"), LISBON)
    assert first_us == us("2026-10-25T00:30:00")
    assert twice.next_us(first_us, LISBON) == us("2026-10-26T01:30:00")


@given(times, moments)
def test_with_summer_time_a_time_still_comes_within_25_hours(daily: DailyTime, at_us: int) -> None:
    next_us = daily.next_us(at_us, LISBON)
    assert at_us < next_us <= at_us + DAY_US + 3_600_000_000


def test_a_time_is_written_as_a_clock_shows_it() -> None:
    assert str(DailyTime(7 * 60 + 5)) == "07:05"
