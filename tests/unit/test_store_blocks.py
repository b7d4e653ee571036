"""Sealed blocks: what goes in comes out, or an error says which block is damaged."""

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_array_equal

from collector.errors import StoreError
from collector.store.blocks import BLOCK_READINGS, pack, unpack, unpack_times
from collector.store.records import ReadingSpan

INT64 = st.integers(-(2**63), 2**63 - 1)
MORNING_US = 1_795_600_000_000_000  # 2026-11-25T09:46:40Z


def span_of(times: list[int], values: list[int], flags: list[int]) -> ReadingSpan:
    return ReadingSpan(
        np.array(times, np.int64), np.array(values, np.int64), np.array(flags, np.uint8)
    )


def cooling(count: int = 5000) -> ReadingSpan:
    times = MORNING_US + np.arange(count) * 500_000 + np.arange(count) * 7919 % 11 * 1000
    values = 85_000 - np.arange(count) // 16 * 62
    flags = (np.arange(count) % 50 == 0).astype(np.uint8) * 4
    return ReadingSpan(times, values, flags)


def assert_equal(one: ReadingSpan, other: ReadingSpan) -> None:
    assert_array_equal(one.times, other.times, strict=True)
    assert_array_equal(one.values, other.values, strict=True)
    assert_array_equal(one.flags, other.flags, strict=True)


@given(
    st.dictionaries(
        st.one_of(INT64, st.integers(MORNING_US, MORNING_US + 10**10)),
        st.tuples(INT64, st.integers(0, 7)),
        min_size=1,
        max_size=400,
    )
)
def test_any_readings_come_back_as_they_were(readings: dict[int, tuple[int, int]]) -> None:
    times = sorted(readings)
    span = span_of(times, [readings[t][0] for t in times], [readings[t][1] for t in times])
    block = pack(span)
    assert (block.first_us, block.last_us, block.count) == (times[0], times[-1], len(times))
    assert_equal(unpack(block, "kiln-pot"), span)
    assert_array_equal(unpack_times(block, "kiln-pot"), span.times)


@pytest.mark.parametrize(
    "values",
    [
        [-(2**63), 2**63 - 1] * 50,
        [2**63 - 1] * 100,
        list(range(-50, 50)),
        [n * 10**15 for n in range(100)],
    ],
)
def test_extreme_values_come_back_as_they_were(values: list[int]) -> None:
    times = [-(2**63), -1, *range(97), 2**63 - 1]
    span = span_of(times, values, [0] * 100)
    assert_equal(unpack(pack(span), "kiln-pot"), span)


def test_a_full_block_of_a_cooling_pitcher_comes_back_as_it_was() -> None:
    span = cooling(BLOCK_READINGS)
    assert_equal(unpack(pack(span), "kiln-pot"), span)


@pytest.mark.parametrize("flag", range(8))
def test_qualities_that_are_all_equal_take_a_byte(flag: int) -> None:
    times, values, _ = cooling()
    block = pack(ReadingSpan(times, values, np.full(len(times), flag, np.uint8)))
    assert len(block.qualities) == 1
    assert set(unpack(block, "kiln-pot").flags.tolist()) == {flag}


def test_a_damaged_block_names_its_channel_its_span_and_what_to_do() -> None:
    block = pack(span_of([MORNING_US, MORNING_US + 1_500_000], [1, 2], [0, 0]))
    broken = msgspec.structs.replace(block, amounts=block.amounts + b"\x00")
    with pytest.raises(StoreError) as caught:
        unpack(broken, "kiln-pot")
    assert caught.value.message == (
        "The sealed readings of kiln-pot from 2026-11-25T09:46:40.000Z to"
        " 2026-11-25T09:46:41.500Z are damaged: their bytes were changed after they were written."
        " Run pourkeep verify, and restore the last backup."
    )


@given(st.data())
def test_a_changed_byte_anywhere_is_noticed(data: st.DataObject) -> None:
    block = pack(cooling(300))
    field = data.draw(st.sampled_from(["times", "amounts", "qualities", "digest"]))
    stored = bytearray(getattr(block, field))
    place = data.draw(st.integers(0, len(stored) - 1))
    stored[place] ^= data.draw(st.integers(1, 255))
    with pytest.raises(StoreError, match="sealed readings of kiln-pot"):
        unpack(msgspec.structs.replace(block, **{field: bytes(stored)}), "kiln-pot")


@pytest.mark.parametrize(
    "changes",
    [
        {"count": 299},
        {"count": 301},
        {"first_us": MORNING_US - 1},
        {"last_us": MORNING_US},
        {"crc": 0},
        {"digest": bytes(32)},
    ],
)
def test_a_head_that_does_not_fit_is_noticed(changes: dict[str, object]) -> None:
    with pytest.raises(StoreError, match="are damaged"):
        unpack(msgspec.structs.replace(pack(cooling(300)), **changes), "kiln-pot")


def test_arrays_of_another_block_are_noticed_although_their_checksum_fits() -> None:
    block, other = pack(cooling(300)), pack(span_of([1, 2], [5, 6], [0, 1]))
    head = {"first_us": block.first_us, "last_us": block.last_us, "count": block.count}
    with pytest.raises(StoreError, match="do not fit that span"):
        unpack(msgspec.structs.replace(other, **head), "kiln-pot")
    with pytest.raises(StoreError, match="not those that were sealed"):
        unpack(msgspec.structs.replace(other, digest=block.digest), "kiln-pot")


def test_a_time_that_no_calendar_has_is_told_as_a_number() -> None:
    block = pack(span_of([-(2**63)], [1], [0]))
    with pytest.raises(StoreError, match=r"kiln-pot from -9223372036854775808 us to"):
        unpack(msgspec.structs.replace(block, crc=0), "kiln-pot")
