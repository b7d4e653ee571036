"""The scorer of the trial: it must be able to fail, each figure on its own."""

from collections.abc import Sequence

import pytest
from trial_desk import LOT, START_US
from trial_figures import added, document_of, quantile, table_of
from trial_forecast import Forecast
from trial_score import Score, score_lot

from collector.alarm_events import AlarmFolded, AlarmRaised, Bounds
from collector.conclusions import (
    Evidence,
    PhaseBegan,
    PhaseEnded,
    Source,
    WeighingAccepted,
    WeighingKind,
)
from collector.events import AnyDerived
from collector.phases import Phase
from collector.priorities import Priority
from simulators.bench_model import PITCHER_PROBE
from simulators.diary import Cooling, Diary, Mass, Mishap, Moment
from simulators.faults import EXPECTED, FaultKind
from simulators.layout import BENCH, SCALE


def us(at_s: float) -> int:
    return START_US + round(at_s * 1e6)


def phase(name: Phase, began_s: float, ended_s: float, pitcher: int = 1) -> list[AnyDerived]:
    began = PhaseBegan(
        at_us=us(began_s),
        bench=BENCH,
        lot=LOT,
        phase=name,
        pitcher=pitcher,
        began_us=us(began_s),
        source=Source.SCALE,
    )
    ended = PhaseEnded(
        at_us=us(ended_s),
        bench=BENCH,
        lot=LOT,
        phase=name,
        pitcher=pitcher,
        began_us=us(began_s),
        ended_us=us(ended_s),
        duration_us=us(ended_s) - us(began_s),
        source=Source.SCALE,
    )
    return [began, ended]


def fill(grams: float, vessel: int = 1) -> WeighingAccepted:
    return WeighingAccepted(
        at_us=us(100.0),
        bench=BENCH,
        lot=LOT,
        kind=WeighingKind.FILL,
        pitcher=1,
        vessel=vessel,
        mass_mg=round(grams * 1000),
        target_mg=150_000,
        tolerance_mg=2_000,
        evidence=Evidence(SCALE, us(90.0), us(100.0), 50),
    )


def light(at_s: float, vessel: int = 1, alarm: str = "1.1") -> AlarmRaised:
    return AlarmRaised(
        at_us=us(at_s),
        bench=BENCH,
        lot=LOT,
        alarm=alarm,
        rule="fill-grams",
        priority=Priority.MEDIUM,
        phase=Phase.POUR,
        pitcher=1,
        vessel=vessel,
        subject=None,
        limit=Bounds(148_000, 152_000),
        measured=140_000,
        unit="g",
        message="light",
        advice="top up",
    )


def true_diary() -> Diary:
    diary = Diary()
    for at_s in (100.0, 120.0):
        diary.work("pour", 1, at_s)
    diary.weigh(Mass("fill", 1, 1, 150.0, 110.0))
    kind = FaultKind.VESSEL_LIGHT
    mishap = Mishap(kind, EXPECTED[kind], 1, 1, None, "light", Moment.REST, 110.0, 111.0)
    diary.mishaps.append(mishap)
    diary.closed_s = 130.0
    return diary


def figures(events: Sequence[AnyDerived], division_g: float = 0.1) -> Score:
    return score_lot(true_diary(), events, division_g)


def test_what_was_told_as_it_happened_has_the_full_score() -> None:
    score = figures([*phase(Phase.POUR, 101.0, 119.0), fill(150.2), light(112.0)])
    document = document_of(added([score]), seed=7)
    assert document["phases"]["pour"] == {"recall": 1.0, "precision": 1.0}
    assert document["weighings_within"] == 1.0
    assert (document["faults_planted"], document["faults_missed"]) == (1, 0)
    assert document["nuisance_per_lot"] == 0.0
    assert document["delay_p95_s"] == 1.0
    assert score.problems == []


def test_nothing_told_misses_everything_and_disturbs_nobody() -> None:
    document = document_of(added([figures([])]), seed=7)
    assert document["phases"]["pour"] == {"recall": 0.0, "precision": None}
    assert document["weighings_within"] == 0.0
    assert document["faults_missed"] == 1
    assert document["nuisance_per_lot"] == 0.0
    assert document["delay_p95_s"] is None


@pytest.mark.parametrize(
    "told",
    [
        phase(Phase.POUR, 10.0, 20.0),  # another time
        phase(Phase.POUR, 101.0, 119.0, pitcher=2),  # another pitcher
        phase(Phase.STIR, 101.0, 119.0),  # another phase
    ],
)
def test_a_wrong_phase_is_neither_recalled_nor_precise(told: list[AnyDerived]) -> None:
    score = figures(told)
    assert sum(score.recalled.values()) == 0
    assert sum(score.told_phases.values()) == 1
    assert sum(score.precise.values()) == 0


def test_stirring_wax_without_its_fragrance_is_neither_asked_for_nor_held_against_anybody() -> None:
    kind = FaultKind.FRAGRANCE_SKIPPED
    forgotten = Mishap(kind, EXPECTED[kind], 1, None, None, "none", Moment.POUR, 40.0, 100.0)
    diary = Diary(mishaps=[forgotten])
    diary.work("stir", 1, 50.0)
    score = score_lot(diary, phase(Phase.STIR, 10.0, 20.0), 0.1)
    assert (score.true_phases["stir"], score.told_phases["stir"]) == (0, 0)


def test_a_phase_taken_up_again_counts_once_from_its_first_begin() -> None:
    score = figures([*phase(Phase.POUR, 90.0, 95.0), *phase(Phase.POUR, 90.0, 119.0)])
    assert (score.told_phases["pour"], score.recalled["pour"]) == (1, 1)


@pytest.mark.parametrize(
    ("grams", "division_g", "within"),
    [(150.3, 0.1, 1), (150.31, 0.1, 0), (151.0, 1.0, 1), (151.1, 1.0, 0), (150.4, 0.5, 1)],
)
def test_a_weighing_is_within_a_division_or_three_tenths(
    grams: float, division_g: float, within: int
) -> None:
    assert figures([fill(grams)], division_g).within == within


def test_a_weighing_of_another_vessel_is_no_weighing_of_this_one() -> None:
    assert figures([fill(150.0, vessel=2)]).within == 0


def test_the_last_word_on_a_vessel_counts() -> None:
    assert figures([fill(120.0), fill(150.0)]).within == 1
    assert figures([fill(150.0), fill(120.0)]).within == 0


def test_a_late_alarm_has_its_delay_and_an_early_one_none() -> None:
    assert figures([light(118.0)]).faults[0].delay_s == pytest.approx(7.0)
    assert figures([light(105.0)]).faults[0].delay_s == 0.0


def test_an_alarm_for_another_vessel_is_a_miss_and_a_nuisance() -> None:
    score = figures([light(112.0, vessel=2)])
    assert score.faults[0].delay_s is None
    assert score.nuisances == ["fill-grams"]


def test_a_folded_alarm_neither_finds_nor_disturbs() -> None:
    folded = AlarmFolded(at_us=us(113.0), bench=BENCH, lot=LOT, alarm="1.1", into="1.2")
    score = figures([light(112.0), light(112.0, vessel=2, alarm="1.3"), folded])
    assert score.faults[0].delay_s is None
    assert len(score.nuisances) == 1


def cooled(forecasts: Sequence[Forecast]) -> Score:
    diary = Diary(coolings=[Cooling(1, 60.0, 0.0, 400.0), Cooling(1, 80.0, 0.0, 100.0)])
    return score_lot(diary, [], 0.1, forecasts)


def test_a_forecast_at_half_way_covers_the_truth_or_not() -> None:
    good = Forecast(60.0, 201.0, 380.0, 401.0, 420.0)
    bad = Forecast(60.0, 199.5, 300.0, 340.0, 380.0)
    early = Forecast(60.0, 100.0, 300.0, 400.0, 500.0)
    assert [eta.covered for eta in cooled([good, early]).etas] == [True]
    assert cooled([good, early]).etas[0].width == pytest.approx(40.0 / 200.0)
    assert [eta.covered for eta in cooled([good, bad]).etas] == [False]


def test_a_cooling_without_an_answer_is_not_covered_and_never_asking_is_null() -> None:
    elsewhere = Forecast(60.0, 20.0, 300.0, 400.0, 500.0)
    assert document_of(added([cooled([elsewhere])]), 7)["eta_coverage"] == 0.0
    assert document_of(added([cooled([])]), 7)["eta_coverage"] is None


def test_a_cooling_whose_thermometer_was_lost_is_not_asked_for() -> None:
    kind = FaultKind.PROBE_UNPLUGGED
    lost = Mishap(kind, EXPECTED[kind], 1, None, PITCHER_PROBE, "lost", Moment.NOW, 50.0, 56.0)
    diary = Diary(coolings=[Cooling(1, 60.0, 0.0, 400.0)], mishaps=[lost])
    assert score_lot(diary, [], 0.1).coolings == 0


def test_scores_add_up() -> None:
    total = added([figures([fill(150.0)]), figures([])])
    assert (total.lots, total.weighings, total.within) == (2, 2, 1)
    assert document_of(total, 7)["weighings_within"] == 0.5


def test_quantiles_are_of_the_nearest_rank() -> None:
    # By hand: 95 % of 20 values is the 19th, of 3 values the third.
    assert quantile([float(n) for n in range(1, 21)], 0.95) == 19.0
    assert quantile([3.0, 1.0, 2.0], 0.95) == 3.0
    assert quantile([3.0, 1.0, 2.0], 0.5) == 2.0
    assert quantile([], 0.5) is None


def test_the_document_has_the_agreed_keys_and_the_table_all_of_them() -> None:
    document = document_of(added([figures([])]), seed=7)
    agreed = [
        "lots",
        "seed",
        "phases",
        "weighings_within",
        "faults_planted",
        "faults_missed",
        "nuisance_per_lot",
        "delay_p95_s",
        "eta_coverage",
    ]
    assert list(document)[: len(agreed)] == agreed
    assert list(document["phases"]) == ["draw wax", "add fragrance", "stir", "pour"]
    assert all(key in table_of(document) for key in agreed if key != "phases")
