"""The latest readings of a scale that lie within one band."""

from hypothesis import given
from hypothesis import strategies as st

from collector.runs import VALUE_US, Run

BAND_MG = 400

READINGS = st.lists(
    st.tuples(st.integers(1, 900_000), st.integers(-900, 900)), min_size=1, max_size=60
)


def stamped(readings: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return times and values where each reading comes so long after the one before."""
    found, now_us = [], 0
    for after_us, value_mg in readings:
        now_us += after_us
        found.append((now_us, value_mg))
    return found


def kept(readings: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return the longest end of the readings that is young enough and within the band."""
    for first in range(len(readings)):
        rest = readings[first:]
        values = [value for _, value in rest]
        young = rest[0][0] >= rest[-1][0] - VALUE_US
        if young and max(values) - min(values) <= BAND_MG:
            return rest
    raise AssertionError("a single reading is within every band")


@given(READINGS)
def test_a_run_is_the_longest_end_that_is_young_and_within_the_band(
    readings: list[tuple[int, int]],
) -> None:
    run, fed = Run(), stamped(readings)
    for number, (taken_us, value_mg) in enumerate(fed, 1):
        run.append(taken_us, value_mg, BAND_MG)
        assert list(zip(run.times, run.values, strict=True)) == kept(fed[:number])


@given(READINGS, st.floats(-1_000, 1_000), st.integers(0, 500))
def test_what_is_surely_near_a_mass_is_near_it(
    readings: list[tuple[int, int]], mass_mg: float, by_mg: int
) -> None:
    run = Run()
    for taken_us, value_mg in stamped(readings):
        run.append(taken_us, value_mg, BAND_MG)
        if run.near(mass_mg, by_mg):
            assert all(abs(value - mass_mg) <= by_mg for value in run.values)


def test_a_run_that_was_cleared_begins_anew() -> None:
    run = Run()
    run.append(0, 100, BAND_MG)
    run.clear()
    run.append(200_000, 90_000, BAND_MG)
    assert list(run.values) == [90_000]
    assert run.near(90_000, 0)
