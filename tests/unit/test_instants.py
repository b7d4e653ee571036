from datetime import UTC, datetime

import pytest

from api.instants import instant, instant_or_none

DAY_US = 86_400_000_000


@pytest.mark.parametrize(
    ("us", "text"),
    [
        (0, "1970-01-01T00:00:00.000Z"),
        (999, "1970-01-01T00:00:00.000Z"),  # cut off, not rounded into the future
        (1_999_999, "1970-01-01T00:00:01.999Z"),
        (951_782_400_000_000, "2000-02-29T00:00:00.000Z"),
        (1_795_600_443_250_000, "2026-11-25T09:54:03.250Z"),
    ],
)
def test_microseconds_become_rfc_3339_with_milliseconds(us: int, text: str) -> None:
    assert instant(us) == text


@pytest.mark.parametrize("us", [0, 1_795_600_443_250_000, 20_000 * DAY_US + 1_000])
def test_the_standard_library_reads_the_same_moment_back(us: int) -> None:
    read = datetime.fromisoformat(instant(us))
    assert read.tzinfo is not None
    assert read == datetime.fromtimestamp(us // 1000 / 1000, UTC)


def test_no_time_stays_none() -> None:
    assert instant_or_none(None) is None
    assert instant_or_none(0) == "1970-01-01T00:00:00.000Z"
