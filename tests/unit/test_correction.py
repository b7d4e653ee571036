"""A correction is exact, never turns two values around, and can be taken back."""

from decimal import ROUND_HALF_EVEN, Decimal

from hypothesis import given
from hypothesis import strategies as st

from collector.correction import UNITY_PPB, Correction

WIDE = st.integers(-40_000_000, 40_000_000)  # 40 kg, or far more than any thermometer shows
GAINS = st.integers(950_000_000, 1_050_000_000)
OFFSETS = st.integers(-5_000, 5_000)
STEPS = st.sampled_from([1, 10, 100, 1_000, 5_000])


def test_an_offset_moves_every_value_alike() -> None:
    correction = Correction(-400, UNITY_PPB)
    assert [correction.apply(value) for value in (0, 60_000, -20_000)] == [-400, 59_600, -20_400]


def test_a_gain_stretches_from_zero() -> None:
    assert Correction(0, 1_004_000_000).apply(250_000) == 251_000


def test_a_coarse_scale_stays_on_its_division() -> None:
    correction = Correction(0, 1_003_000_000, 1_000)
    assert [correction.apply(grams * 1000) for grams in (0, 100, 200, 500)] == [
        *(0, 100_000, 201_000),
        502_000,  # 501.5 g: half to even
    ]


@given(WIDE, GAINS, OFFSETS, STEPS)
def test_it_is_the_exact_line_rounded_half_to_even(
    shown: int, gain_ppb: int, offset: int, step: int
) -> None:
    line = Decimal(shown) * Decimal(gain_ppb) / UNITY_PPB + offset
    steps = (line / step).quantize(Decimal(1), rounding=ROUND_HALF_EVEN)
    assert Correction(offset, gain_ppb, step).apply(shown) == int(steps) * step


@given(WIDE, st.integers(0, 10_000), GAINS, OFFSETS, STEPS)
def test_a_larger_value_never_becomes_the_smaller_one(
    shown: int, more: int, gain_ppb: int, offset: int, step: int
) -> None:
    correction = Correction(offset, gain_ppb, step)
    assert correction.apply(shown) <= correction.apply(shown + more)


@given(WIDE, GAINS, OFFSETS, STEPS)
def test_what_was_shown_is_recovered_to_a_step(
    shown: int, gain_ppb: int, offset: int, step: int
) -> None:
    correction = Correction(offset, gain_ppb, step)
    on_display = shown // step * step
    assert abs(correction.shown_of(correction.apply(on_display)) - on_display) <= step
