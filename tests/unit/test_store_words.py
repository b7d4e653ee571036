import pytest

from api.command_line.store_words import counted, fault_lines, joined, megabytes, moment
from collector.store.faults import Fault


@pytest.mark.parametrize(
    ("number", "words"), [(0, "0 events"), (1, "1 event"), (2310, "2,310 events")]
)
def test_a_number_of_things_is_read_without_counting_digits(number: int, words: str) -> None:
    assert counted(number, "event") == words


def test_a_time_says_that_it_is_utc_and_drops_the_fraction() -> None:
    assert moment(1_795_600_000_999_999) == "2026-11-25 09:46:40 UTC"


@pytest.mark.parametrize("at_us", [2**63 - 1, -(2**63), 253_402_300_800_000_000])
def test_a_damaged_time_is_said_by_its_number(at_us: int) -> None:
    assert moment(at_us) == f"an impossible time ({at_us} us)"


def test_a_size_is_in_megabytes_of_a_million_bytes() -> None:
    """SI, as disks are sold; not the 1,048,576 bytes of IEC 80000-13's mebibyte."""
    assert megabytes(1_234_560_000) == "1,234.6 MB"


@pytest.mark.parametrize(
    ("parts", "sentence"), [(["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_parts_are_joined_as_in_a_sentence(parts: list[str], sentence: str) -> None:
    assert joined(parts) == sentence


def test_of_many_faults_the_first_are_shown_and_the_rest_counted() -> None:
    faults = [Fault(f"event {n}", "It is missing.", n) for n in range(1, 5)]
    assert list(fault_lines(faults, 4)) == [f"  event {n}: It is missing." for n in range(1, 5)]
    *shown, rest = fault_lines(faults, 2)
    assert len(shown) == 2
    assert "2 more" in rest
