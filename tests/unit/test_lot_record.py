"""A lot's events folded into its record."""

import pytest
from feed_script import Script
from stranger_round import Plan
from stranger_styles import STYLES, work

from collector.conclusions import MarkContradicted, PhaseWithdrawn, WeighingKind, WeighingWithdrawn
from collector.errors import NotFoundError
from collector.event_base import Event
from collector.lot_events import LotClosed, LotKept, LotReleased, MarkWithdrawn, PhaseMarked
from collector.lot_record import LotRecord, record_of
from collector.lots import LotState
from collector.phases import Phase
from collector.service_events import CollectionResumed, ReadingsCameLate

KEEPING = (LotKept, LotReleased)


def events_of(plan: Plan) -> list[Event]:
    script = Script()
    work(script, STYLES["filled in two goes"], plan)
    journal = script.journal()
    return [journal[0], *sorted([*journal[1:], *script.events], key=lambda event: event.at_us)]


def record(plan: Plan) -> LotRecord:
    return record_of(events_of(plan))


def test_a_record_holds_each_weighing_once_with_its_last_mass() -> None:
    kept = record(Plan(vessels=2, fill_off_g={1: -7.0}))
    kinds = [(w.kind, w.vessel) for w in kept.weighings]
    assert kinds == [
        (WeighingKind.WAX, None),
        (WeighingKind.FRAGRANCE, None),
        (WeighingKind.FILL, 1),
        (WeighingKind.FILL, 2),
    ]
    assert kept.fills == 2
    assert kept.weighings[2].mass_mg == pytest.approx(213_000, abs=200)


def test_a_record_holds_each_phase_once_in_the_order_they_began() -> None:
    phases = [run.phase for run in record(Plan(vessels=1)).phases]
    assert phases == [Phase.DRAW_WAX, Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR, Phase.SET]


def test_what_was_withdrawn_is_not_in_the_record() -> None:
    journal = events_of(Plan(vessels=2))
    at_us = journal[-1].at_us
    journal += [
        WeighingWithdrawn(
            at_us=at_us, bench="creek", lot="1", kind=WeighingKind.FILL, pitcher=1, vessel=2
        ),
        PhaseWithdrawn(at_us=at_us, bench="creek", lot="1", phase=Phase.POUR, pitcher=1),
    ]
    kept = record_of(journal)
    assert kept.fills == 1
    assert Phase.POUR not in {run.phase for run in kept.phases}


def test_a_phase_that_the_scale_showed_carries_the_readings_it_rests_on() -> None:
    kept = record(Plan(vessels=1))
    wax = kept.weighings[0].evidence
    runs = {run.phase: run for run in kept.phases}
    drawn = runs[Phase.DRAW_WAX].rests_on
    assert drawn is not None
    assert drawn.from_us == wax.from_us  # both reach back to the rest before the wax came
    assert drawn.from_us <= runs[Phase.DRAW_WAX].began_us < drawn.to_us
    poured = runs[Phase.POUR].rests_on
    assert poured is not None
    assert poured.from_us <= runs[Phase.POUR].began_us < poured.to_us
    assert runs[Phase.STIR].rests_on is None  # marked: no reading tells it


def test_a_lot_is_open_until_it_is_closed() -> None:
    events = events_of(Plan(vessels=1))
    assert record_of(events).state is LotState.CLOSED
    before = [event for event in events if not isinstance(event, LotClosed)]
    assert record_of(before).state is LotState.OPEN


def test_the_last_word_on_whether_a_lot_is_kept_counts() -> None:
    events = events_of(Plan(vessels=1))
    kept, released = (kind(at_us=events[-1].at_us, bench="creek", lot="1") for kind in KEEPING)
    said = [record_of([*events, *more]).kept for more in ([], [kept], [kept, released])]
    assert said == [False, True, False]


def test_deviations_are_the_alarms_that_stand_for_themselves() -> None:
    # stirring marked before the fragrance, which then never comes
    plan = Plan(vessels=1, skips_fragrance=True, marks_early=True, stir_s=20.0, marks=False)
    kept = record(plan)
    assert [alarm.raised.rule for alarm in kept.deviations] == ["skipped-phase"]
    assert len(kept.alarms) > len(kept.deviations)


def test_marks_and_gaps_are_kept() -> None:
    events = events_of(Plan(vessels=1))
    gap = CollectionResumed(at_us=events[-1].at_us, bench="creek", lot="1", since_us=5)
    kept = record_of([*events, gap])
    assert [mark.phase for mark in kept.marks] == [Phase.STIR, Phase.STIR]
    assert kept.gaps == (gap,)


def test_what_came_too_late_to_be_judged_is_kept() -> None:
    events = events_of(Plan(vessels=1))
    late = ReadingsCameLate(
        at_us=events[-1].at_us, bench="creek", lot="1", from_us=5, to_us=9, count=3
    )
    assert record_of([*events, late]).late == (late,)


def test_a_lot_that_never_opened_has_no_record() -> None:
    with pytest.raises(NotFoundError):
        record_of([])


def test_a_mark_that_the_scale_contradicts_is_kept_with_what_the_scale_showed() -> None:
    events = events_of(Plan(vessels=1))
    marked = next(event for event in events if isinstance(event, PhaseMarked))
    contradicted = MarkContradicted(
        at_us=marked.at_us,
        bench=marked.bench,
        lot=marked.lot,
        phase=marked.phase,
        edge=marked.edge,
        marked_us=marked.at_us,
        why="the wax was still being drawn",
    )
    kept = record_of([*events, contradicted])
    assert marked in kept.marks
    assert kept.contradiction_of(marked) == "the wax was still being drawn"
    assert kept.contradiction_of(kept.marks[-1]) is None


def test_a_mark_that_was_taken_back_is_kept_with_when_that_was() -> None:
    events = events_of(Plan(vessels=1))
    begin, end = (event for event in events if isinstance(event, PhaseMarked))
    assert record_of(events).latest_mark == end
    withdrawn = MarkWithdrawn(
        at_us=end.at_us + 7,
        bench=end.bench,
        lot=end.lot,
        phase=end.phase,
        edge=end.edge,
        marked_us=end.at_us,
    )
    kept = record_of([*events, withdrawn])
    assert kept.marks == (begin, end)
    assert kept.withdrawn_us(end) == end.at_us + 7
    assert kept.withdrawn_us(begin) is None
    assert kept.latest_mark == begin
