"""A mark that was made by mistake and is taken back: what the lot says then."""

from itertools import pairwise

import msgspec
import pytest
from feed_script import PITCHER, Script
from stranger_moves import draw_untared, scent_on_top
from stranger_round import AMBER, Plan, Round

from collector.alarm_events import AlarmCleared, AlarmRaised, AlarmRestored
from collector.alarm_ledger import AlarmLedger
from collector.alarms import AlarmState
from collector.amends import TAKEN_BACK
from collector.conclusions import PhaseBegan, PhaseEnded, PhaseWithdrawn, WeighingKind
from collector.errors import ConflictError
from collector.events import AnyDerived
from collector.guidance import NextMark, StepState, status_of
from collector.lot_events import MarkWithdrawn
from collector.marks import MOST, UNDO_US
from collector.phases import Edge, Phase, PhaseName
from collector.recipes import OwnPhase
from collector.replay import first_difference, replay, under

SECOND = 1_000_000


def scented(vessels: int = 2) -> Script:
    """A lot whose wax is drawn and whose fragrance is in."""
    script = Script()
    script.celsius[PITCHER] = 82.0
    script.hold(3)
    script.open(AMBER, vessels)
    script.hold(3)
    now = Round(script, Plan(vessels=vessels))
    draw_untared(now)
    scent_on_top(now)
    script.hold(5)
    return script


def withdrawn(script: Script, marked_us: int, phase: PhaseName, edge: Edge) -> MarkWithdrawn:
    return MarkWithdrawn(
        at_us=script.now_us, bench="creek", lot="1", phase=phase, edge=edge, marked_us=marked_us
    )


def undo(script: Script) -> list[AnyDerived]:
    """Take back the mark that the bench offers."""
    undoable = status_of(script.bench).undo
    assert undoable is not None
    before = len(script.events)
    script._give(withdrawn(script, undoable.at_us, undoable.phase, undoable.edge))
    return script.events[before:]


def phases_told(events: list[AnyDerived]) -> list[tuple[type, PhaseName]]:
    told = PhaseBegan | PhaseEnded | PhaseWithdrawn
    return [(type(event), event.phase) for event in events if isinstance(event, told)]


def cleared(events: list[AnyDerived]) -> list[str]:
    return [event.outcome for event in events if isinstance(event, AlarmCleared)]


# ---------------------------------------------------------------- the end of a stir


def test_a_stir_that_was_ended_by_mistake_goes_on_with_its_clock_unbroken() -> None:
    script = scented()
    script.mark(Phase.STIR)
    script.hold(30)
    before = status_of(script.bench)
    script.mark(Phase.STIR, Edge.END)
    script.hold(10)
    said = undo(script)
    after = status_of(script.bench)
    assert phases_told(said) == [(PhaseWithdrawn, Phase.STIR), (PhaseBegan, Phase.STIR)]
    assert (after.phase, after.phase_began_us, after.phase_until_us) == (
        before.phase,
        before.phase_began_us,
        before.phase_until_us,
    )
    assert after.next_mark == NextMark(Phase.STIR, Edge.END)


def test_the_alarm_of_a_stir_cut_short_by_mistake_is_taken_back_and_judged_anew() -> None:
    script = scented()
    script.mark(Phase.STIR)
    script.hold(30)
    script.mark(Phase.STIR, Edge.END)
    assert ("stir-duration", 1, None) in script.found()
    assert cleared(undo(script)) == [TAKEN_BACK]
    script.hold(20)
    before = len(script.events)
    script.mark(Phase.STIR, Edge.END)
    (raised,) = (event for event in script.events[before:] if isinstance(event, AlarmRaised))
    assert raised.rule == "stir-duration"
    assert raised.measured is not None
    assert raised.measured // 1000 == pytest.approx(50, abs=2)  # the time after the mistake too


def test_a_stir_that_goes_on_for_long_enough_after_all_raises_nothing_more() -> None:
    script = scented()
    script.mark(Phase.STIR)
    script.hold(100)
    script.mark(Phase.STIR, Edge.END)
    undo(script)
    script.hold(25)
    before = len(script.events)
    script.mark(Phase.STIR, Edge.END)
    assert not [event for event in script.events[before:] if isinstance(event, AlarmRaised)]


# ---------------------------------------------------------------- the beginning of a phase


def test_a_phase_that_was_begun_by_mistake_has_not_been_and_what_it_ended_goes_on() -> None:
    script = scented()
    script.mark(Phase.STIR)
    script.hold(20)
    before = status_of(script.bench)
    script.mark(Phase.POUR)
    assert {alarm.rule for alarm in script.deviations()} == {"pour-temperature", "stir-duration"}
    said = undo(script)
    assert phases_told(said) == [
        (PhaseWithdrawn, Phase.STIR),
        (PhaseWithdrawn, Phase.POUR),
        (PhaseBegan, Phase.STIR),
    ]
    assert cleared(said) == [TAKEN_BACK] * 2
    after = status_of(script.bench)
    assert (after.next_mark, after.do, after.steps) == (before.next_mark, before.do, before.steps)


def test_what_came_too_early_by_mistake_is_no_longer_an_alarm() -> None:
    script = Script()
    script.open(AMBER, 2)
    script.hold(3)
    before = status_of(script.bench).next_mark
    script.mark(Phase.STIR)
    assert [alarm.rule for alarm in script.deviations()] == ["phase-order"]
    assert cleared(undo(script)) == [TAKEN_BACK]
    assert status_of(script.bench).next_mark == before
    assert not script.bench.book.violated


def test_the_scale_is_read_as_if_the_mark_had_never_been_made() -> None:
    script = Script()
    script.celsius[PITCHER] = 82.0
    script.hold(3)
    script.open(AMBER, 2)
    script.hold(3)
    now = Round(script, Plan(vessels=2))
    draw_untared(now)
    script.mark(Phase.POUR)  # from here on what comes would be a vessel's
    script.hold(4)
    undo(script)
    scent_on_top(now)
    script.hold(5)
    kinds = {kind for kind, _pitcher, _vessel in script.weighings()}
    assert kinds == {WeighingKind.WAX, WeighingKind.FRAGRANCE}
    assert not script.bench.book.violated


def test_what_a_mark_put_right_by_mistake_stands_again_as_a_person_left_it() -> None:
    script = Script()
    script.open(AMBER, 2)
    script.hold(3)
    script.mark(Phase.ADD_FRAGRANCE)  # before the wax
    (early,) = script.deviations()
    script.acknowledge()
    script.hold(5)
    script.mark(Phase.DRAW_WAX)
    assert early.alarm not in script.bench.book.violated
    said = undo(script)
    assert [event.alarm for event in said if isinstance(event, AlarmRestored)] == [early.alarm]
    journal = sorted([*script.journal(), *script.events], key=lambda event: event.at_us)
    assert AlarmLedger(journal).find(early.alarm).state is AlarmState.ACKNOWLEDGED


def test_a_phase_of_the_recipes_own_goes_on_and_its_length_is_judged_at_its_true_end() -> None:
    rest = OwnPhase("rest", Phase.DRAW_WAX, at_least_s=60)
    recipe = msgspec.structs.replace(AMBER, own_phases=(rest,))
    script = Script()
    script.open(recipe, 2)
    script.hold(3)
    script.mark("rest")
    script.hold(20)
    script.mark("rest", Edge.END)
    assert ("phase-duration", 1, None) in script.found()
    assert TAKEN_BACK in cleared(undo(script))
    assert status_of(script.bench).phase == "rest"
    script.hold(45)
    before = len(script.events)
    script.mark("rest", Edge.END)
    assert not [event for event in script.events[before:] if isinstance(event, AlarmRaised)]


def test_a_first_mark_that_was_a_mistake_makes_nobody_one_who_marks() -> None:
    recipe = msgspec.structs.replace(AMBER, prepare=True)
    script = Script()
    script.open(recipe, 2)
    script.hold(3)
    script.mark(Phase.STIR)
    undo(script)
    script.mark(Phase.SET)  # anything later
    undo(script)
    script.close()
    said = [alarm for alarm in script.deviations() if alarm.subject == "marks"]
    assert len(said) == 1  # the one quiet deviation of who never marks


# ---------------------------------------------------------------- which, and for how long


def test_marks_are_taken_back_one_after_the_other_the_latest_first() -> None:
    script = scented()
    nothing = status_of(script.bench)
    script.mark(Phase.STIR)
    script.hold(1)
    script.mark(Phase.STIR, Edge.END)
    script.hold(1)
    undo(script)
    offered = status_of(script.bench).undo
    assert offered is not None
    assert (offered.phase, offered.edge) == (Phase.STIR, Edge.BEGIN)
    undo(script)
    after = status_of(script.bench)
    assert (after.undo, after.phase, after.steps) == (None, nothing.phase, nothing.steps)
    assert Phase.STIR in {step.phase for step in after.steps if step.state is StepState.NEXT}


def test_a_mark_before_another_waits_for_its_turn() -> None:
    script = scented()
    script.mark(Phase.STIR)
    first = status_of(script.bench).undo
    assert first is not None
    script.hold(2)
    script.mark(Phase.STIR, Edge.END)
    with pytest.raises(ConflictError, match="later mark was made: take that one back first"):
        script.bench.feed(withdrawn(script, first.at_us, first.phase, first.edge))


def test_a_mark_stays_after_five_minutes_and_it_is_said_what_to_do() -> None:
    script = scented()
    script.mark(Phase.STIR)
    offered = status_of(script.bench).undo
    assert offered is not None
    assert offered.until_us == offered.at_us + UNDO_US
    script.hold(301)
    assert status_of(script.bench).undo is None
    told = len(script.events)
    with pytest.raises(ConflictError, match=r"that stir began stays: .* Mark what is true now"):
        script.bench.feed(withdrawn(script, offered.at_us, Phase.STIR, Edge.BEGIN))
    script.hold(1)
    script.mark(Phase.STIR, Edge.END)
    assert phases_told(script.events[told:]) == [(PhaseEnded, Phase.STIR)]  # nothing had changed


def test_of_many_marks_only_the_latest_can_be_taken_back() -> None:
    script = scented()
    for _ in range(MOST + 2):
        script.mark(Phase.STIR)
        script.hold(1)
    for _ in range(MOST):
        undo(script)
    assert status_of(script.bench).undo is None


def test_the_next_lot_offers_nothing_of_the_last() -> None:
    script = scented()
    script.mark(Phase.STIR)
    script.close()
    assert script.bench.undoable is None
    assert status_of(script.bench).undo is None


# ---------------------------------------------------------------- judged again


def taken_back_once() -> Script:
    script = scented()
    script.mark(Phase.STIR)
    script.hold(15)
    script.mark(Phase.STIR, Edge.END)
    script.hold(4)
    undo(script)
    script.hold(100)
    script.mark(Phase.STIR, Edge.END)
    script.close()
    return script


def test_the_same_inputs_give_the_same_events() -> None:
    script = taken_back_once()
    assert first_difference(script.events, replay(script.journal(), script.readings())[1]) is None


def test_no_time_is_told_backwards() -> None:
    times = [event.at_us for event in taken_back_once().events]
    assert all(one <= other for one, other in pairwise(times))


def test_a_recipe_without_the_phase_has_neither_the_mark_nor_its_withdrawal() -> None:
    script = taken_back_once()
    unstirred = msgspec.structs.replace(AMBER, stir_at_least_s=None)
    journal = under(script.journal(), unstirred)
    assert not [event for event in journal if isinstance(event, MarkWithdrawn)]
    replay(journal, script.readings())
