import pytest

from collector.disk_space import READING_BYTES, Space

GB = 1_000_000_000


@pytest.mark.parametrize(
    ("free", "rate_hz", "low"),
    [
        (GB, 0.0, False),
        (500_000_000, 0.0, False),
        (499_999_999, 0.0, True),
        (GB, GB / READING_BYTES / 7201, False),  # room for two hours
        (GB, GB / READING_BYTES / 7199, True),
    ],
)
def test_low_is_less_than_half_a_gigabyte_or_two_hours(
    free: int,
    rate_hz: float,
    low: bool,
) -> None:
    assert Space(free, 0, rate_hz).low is low


def test_low_space_says_how_much_there_is_and_what_to_do() -> None:
    said = Space(123_000_000, 0, 1.0).sentence
    assert said.startswith("123 MB are free")
    assert "Free some space" in said
    assert "Free some space" not in Space(GB, 0, 1.0).sentence


def test_much_room_is_told_in_gigabytes() -> None:
    assert Space(83_200_000_000, 0, 1.0).sentence.startswith("83 GB are free")
    assert Space(9_999_000_000, 0, 1.0).sentence.startswith("9999 MB are free")
