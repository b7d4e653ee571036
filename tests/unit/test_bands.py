"""The band of good lots: the interval, the alignment, and what gaps and wild readings do to it."""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from stranger_round import AMBER

from collector.anchors import Reach, reaches
from collector.band import Anchor
from collector.bands import (
    LEAST_HALF_MDEGC,
    STEP_US,
    T_95,
    GoodLot,
    band_of,
    laid_on,
    prediction_interval,
)
from collector.conclusions import Source
from collector.lot_events import LotOpened
from collector.lot_record import LotRecord, PhaseRun
from collector.phases import Phase

S = 1_000_000

# Montgomery and Runger, Applied Statistics and Probability for Engineers, 3rd ed.: the loads at
# failure of Example 8-4 (MPa) and the 95 % prediction interval for a 23rd of Example 8-8.
ADHESION_MPA = (
    *(19.8, 10.1, 14.9, 7.5, 15.4, 15.4, 15.4, 18.5, 7.9, 12.7, 11.9),
    *(11.4, 11.4, 14.1, 17.6, 16.7, 15.8, 19.5, 8.8, 13.6, 11.9, 11.4),
)


def test_the_interval_is_that_of_the_textbook() -> None:
    low, high = prediction_interval(ADHESION_MPA, t=2.080)
    assert low == pytest.approx(6.16, abs=0.015)  # the book rounds mean and s first
    assert high == pytest.approx(21.26, abs=0.015)


def test_one_value_makes_no_interval() -> None:
    with pytest.raises(ValueError, match="two values"):
        prediction_interval([80.0], t=2.0)


def share_below(t: float, freedom: int) -> float:
    """Student's distribution by its density, integrated by Simpson's rule from 0 to t."""
    x = np.linspace(0.0, t, 2001)
    scale = math.gamma((freedom + 1) / 2) / (math.sqrt(freedom * math.pi) * math.gamma(freedom / 2))
    density = scale * (1 + x**2 / freedom) ** (-(freedom + 1) / 2)
    weights = np.ones_like(x)
    weights[1:-1:2], weights[2:-1:2] = 4.0, 2.0
    return 0.5 + float((density * weights).sum() * (x[1] - x[0]) / 3)


@pytest.mark.parametrize("freedom", range(1, len(T_95) + 1))
def test_each_quantile_leaves_a_twentieth_above(freedom: int) -> None:
    assert share_below(T_95[freedom - 1], freedom) == pytest.approx(0.95, abs=1e-4)


# ------------------------------------------------------------------ anchors


def run(phase: Phase, began_s: float, ended_s: float | None, pitcher: int = 1) -> PhaseRun:
    ended_us = None if ended_s is None else round(ended_s * S)
    return PhaseRun(phase, pitcher, round(began_s * S), Source.SCALE, ended_us, 0)


def lot_record(*runs: PhaseRun, name: str = "1") -> LotRecord:
    opened = LotOpened(at_us=0, bench="b", lot=name, recipe=AMBER, vessels=1, channels=())
    return LotRecord(
        opened=opened, closed_us=9_000 * S, phases=runs, weighings=(), marks=(), alarms=(), gaps=()
    )


def cooled(name: str, pace: float, start_c: float = 85.0) -> GoodLot:
    """A lot that waits `pace` times as long at each step, and cools 1 °C in 100 s after each.

    The probe is warmed to `start_c` and then to 80 and 75 °C where the fragrance is in and the
    stir is over, so that curves laid on the clock instead of on events would not meet.
    """
    marks_s = [100.0 * pace, 300.0 * pace, 500.0 * pace, 700.0 * pace]
    begins_c = [start_c, 80.0, 75.0, 70.0]
    times = np.arange(0, round(marks_s[-1] + 200), dtype=np.int64)
    place = np.clip(np.searchsorted(marks_s, times, side="right") - 1, 0, 3)
    since_s = times - np.asarray(marks_s)[place]
    values = np.round((np.asarray(begins_c)[place] - since_s / 100) * 1000).astype(np.int64)
    record = lot_record(
        run(Phase.DRAW_WAX, marks_s[0] - 50, marks_s[0]),
        run(Phase.ADD_FRAGRANCE, marks_s[1] - 20, marks_s[1]),
        run(Phase.STIR, marks_s[2] - 120, marks_s[2]),
        run(Phase.POUR, marks_s[3], marks_s[3] + 150),
        name=name,
    )
    return GoodLot(record, times * S, values)


def test_a_reach_lasts_until_the_next_anchor_and_the_last_until_the_pour_is_over() -> None:
    record = cooled("1", 1.0).record
    assert reaches({r.phase: r for r in record.phases}) == (
        Reach(Anchor.DRAWN, 100 * S, 300 * S),
        Reach(Anchor.SCENTED, 300 * S, 500 * S),
        Reach(Anchor.STIRRED, 500 * S, 700 * S),
        Reach(Anchor.POURING, 700 * S, 850 * S),
    )


def test_a_stir_known_from_the_gap_leaves_one_reach_up_to_the_pour() -> None:
    stir, pour = run(Phase.STIR, 350, 700), run(Phase.POUR, 700, None)
    found = reaches({Phase.ADD_FRAGRANCE: run(Phase.ADD_FRAGRANCE, 280, 300), "stir": stir})
    assert [reach.anchor for reach in found] == [Anchor.SCENTED, Anchor.STIRRED]
    both = reaches({Phase.STIR: stir, Phase.POUR: pour})
    assert both == (Reach(Anchor.POURING, 700 * S, None),)


def test_a_lot_in_which_nothing_has_happened_has_no_reach() -> None:
    assert reaches({}) == ()
    assert reaches({Phase.DRAW_WAX: run(Phase.DRAW_WAX, 10, None)}) == ()


# ------------------------------------------------------------------ bands


def middles(lots: Sequence[GoodLot], anchor: Anchor) -> list[float]:
    band = band_of(lots)
    assert band is not None
    (stretch,) = [stretch for stretch in band.stretches if stretch.anchor is anchor]
    pairs = zip(stretch.low_mdegc, stretch.high_mdegc, strict=True)
    return [(low + high) / 2000 for low, high in pairs]


def test_lots_of_different_speed_are_laid_over_each_other_on_events() -> None:
    lots = [cooled("1", 1.0), cooled("2", 1.5), cooled("3", 2.0)]
    for anchor, start_c in ((Anchor.SCENTED, 80.0), (Anchor.STIRRED, 75.0)):
        seen = middles(lots, anchor)[:21]
        assert seen == pytest.approx([start_c - n / 10 for n in range(21)], abs=0.06)


def test_a_stretch_goes_on_as_far_as_three_lots_reach() -> None:
    lots = [cooled("1", 1.0), cooled("2", 1.5), cooled("3", 2.0)]
    assert len(middles(lots, Anchor.SCENTED)) == 21  # 200 s of the quickest, ends included
    assert len(middles([*lots, cooled("4", 1.5)], Anchor.SCENTED)) == 31


def test_two_good_lots_make_no_band() -> None:
    assert band_of([cooled("1", 1.0), cooled("2", 1.5)]) is None


def test_alike_lots_are_allowed_a_degree_to_either_side() -> None:
    band = band_of([cooled(str(n), 1.0) for n in range(3)])
    assert band is not None
    for stretch in band.stretches:
        for low, high in zip(stretch.low_mdegc, stretch.high_mdegc, strict=True):
            assert high - low == pytest.approx(2 * LEAST_HALF_MDEGC, abs=2)


def test_lots_that_differ_widen_the_band_by_the_interval() -> None:
    starts = (81.0, 85.0, 89.0)
    band = band_of([cooled(str(n), 1.0, start_c) for n, start_c in enumerate(starts)])
    assert band is not None
    at_s = 100  # the tenth step, in which the wax has cooled by 1 °C
    low, high = prediction_interval([start_c - 1 for start_c in starts], t=2.920)
    drawn = band.stretches[0]
    assert drawn.low_mdegc[at_s // 10] == pytest.approx(low * 1000, abs=60)
    assert drawn.high_mdegc[at_s // 10] == pytest.approx(high * 1000, abs=60)
    assert band.lots == ("0", "1", "2")


def test_single_wild_readings_and_short_gaps_do_not_matter() -> None:
    lots = [cooled(str(n), 1.0) for n in range(3)]
    wild = lots[0].values.copy()
    wild[::7] = 85_000  # a DS18B20 that has just been powered
    hole = (lots[1].times < 340 * S) | (lots[1].times > 380 * S)
    marred = [
        GoodLot(lots[0].record, lots[0].times, wild),
        GoodLot(lots[1].record, lots[1].times[hole], lots[1].values[hole]),
        lots[2],
    ]
    sound, seen = middles(lots, Anchor.SCENTED), middles(marred, Anchor.SCENTED)
    assert seen == pytest.approx(sound, abs=0.06)


def test_a_long_gap_ends_the_stretch_where_nobody_knows() -> None:
    lots = [cooled(str(n), 1.0) for n in range(3)]
    hole = (lots[1].times < 340 * S) | (lots[1].times > 450 * S)
    cut = GoodLot(lots[1].record, lots[1].times[hole], lots[1].values[hole])
    assert len(middles([lots[0], cut, lots[2]], Anchor.SCENTED)) == 5
    assert len(middles([*lots, cut], Anchor.SCENTED)) == 21


def test_a_lot_without_any_reading_adds_nothing() -> None:
    empty = np.array([], dtype=np.int64)
    lots = [cooled("1", 1.0), cooled("2", 1.0), GoodLot(cooled("3", 1.0).record, empty, empty)]
    assert band_of(lots) is None


def test_a_band_is_laid_on_a_lots_own_clock() -> None:
    band = band_of([cooled(str(n), 1.0) for n in range(3)])
    assert band is not None
    slow = cooled("slow", 2.0).record
    scented = laid_on(band, slow)[1]
    assert scented.anchor is Anchor.SCENTED
    assert scented.times_us[:2] == (600 * S, 600 * S + STEP_US)
    assert len(scented.times_us) == len(scented.low_mdegc) == len(scented.high_mdegc) == 21
    quick = cooled("quick", 0.5).record
    assert laid_on(band, quick)[1].times_us[-1] == 250 * S
