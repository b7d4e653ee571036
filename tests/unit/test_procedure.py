"""Phases begun, ended, taken up again and left out."""

from collector.conclusions import PhaseBegan, PhaseEnded, PhaseWithdrawn, Source
from collector.phases import Phase
from collector.procedure import Procedure, Where

SECOND = 1_000_000
EXPECTED = (Phase.DRAW_WAX, Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR, Phase.SET)


def where(second: int) -> Where:
    return Where(second * SECOND, "creek", "1")


def test_a_phase_that_begins_ends_the_one_going_on() -> None:
    procedure = Procedure(EXPECTED, 1)
    procedure.begin(where(0), Phase.DRAW_WAX, 0, Source.SCALE)
    ended, began = procedure.begin(where(30), Phase.ADD_FRAGRANCE, 30 * SECOND, Source.SCALE)
    assert isinstance(ended, PhaseEnded)
    assert (ended.phase, ended.duration_us) == (Phase.DRAW_WAX, 30 * SECOND)
    assert isinstance(began, PhaseBegan)
    assert procedure.current == Phase.ADD_FRAGRANCE


def test_a_phase_taken_up_again_adds_up() -> None:
    procedure = Procedure(EXPECTED, 1)
    procedure.begin(where(0), Phase.STIR, 0, Source.MARK)
    procedure.end(where(40), Phase.STIR, 40 * SECOND, Source.MARK)
    procedure.begin(where(100), Phase.STIR, 100 * SECOND, Source.MARK)
    assert procedure.runs[Phase.STIR].lasted_us(110 * SECOND) == 50 * SECOND
    (ended,) = procedure.end(where(180), Phase.STIR, 180 * SECOND, Source.MARK)
    assert isinstance(ended, PhaseEnded)
    assert (ended.began_us, ended.duration_us) == (0, 120 * SECOND)


def test_a_mark_takes_the_place_of_what_the_scale_saw() -> None:
    procedure = Procedure(EXPECTED, 1)
    procedure.begin(where(0), Phase.STIR, 0, Source.SCALE)
    procedure.begin(where(10), Phase.STIR, 10 * SECOND, Source.MARK)
    assert procedure.runs[Phase.STIR].source is Source.MARK
    assert procedure.runs[Phase.STIR].began_us == 10 * SECOND
    assert procedure.begin(where(12), Phase.STIR, 12 * SECOND, Source.SCALE) == []


def test_ending_what_does_not_go_on_changes_nothing() -> None:
    procedure = Procedure(EXPECTED, 1)
    assert procedure.end(where(5), Phase.STIR, 5 * SECOND, Source.MARK) == []


def test_a_phase_never_ends_before_it_began() -> None:
    procedure = Procedure(EXPECTED, 1)
    procedure.begin(where(10), Phase.POUR, 10 * SECOND, Source.SCALE)
    (ended,) = procedure.end(where(11), Phase.POUR, 5 * SECOND, Source.SCALE)
    assert isinstance(ended, PhaseEnded)
    assert ended.duration_us == 0


def test_what_is_missing_before_a_phase_is_told_in_order() -> None:
    procedure = Procedure(EXPECTED, 1)
    procedure.begin(where(0), Phase.DRAW_WAX, 0, Source.SCALE)
    assert procedure.missing_before(Phase.POUR) == (Phase.ADD_FRAGRANCE, Phase.STIR)
    assert procedure.missing_before(Phase.SET) == (Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR)
    assert procedure.missing_before(Phase.ADD_FRAGRANCE) == ()


def test_a_phase_the_recipe_does_not_list_is_never_missing() -> None:
    procedure = Procedure((Phase.DRAW_WAX, Phase.ADD_FRAGRANCE, Phase.POUR), 1)
    assert Phase.STIR not in procedure.missing_before(Phase.POUR)


def test_a_forgotten_phase_counts_as_not_done() -> None:
    procedure = Procedure(EXPECTED, 1)
    procedure.begin(where(0), Phase.STIR, 0, Source.MARK)
    procedure.forget(Phase.STIR)
    assert Phase.STIR in procedure.missing_before(Phase.POUR)


def test_a_withdrawn_phase_never_was() -> None:
    procedure = Procedure(EXPECTED, 2)
    procedure.begin(where(0), Phase.POUR, 0, Source.SCALE)
    (withdrawn,) = procedure.withdraw(where(9), Phase.POUR)
    assert isinstance(withdrawn, PhaseWithdrawn)
    assert (withdrawn.phase, withdrawn.pitcher) == (Phase.POUR, 2)
    assert Phase.POUR not in procedure.runs
    assert procedure.withdraw(where(10), Phase.POUR) == []


def test_a_phase_found_afterwards_leaves_what_goes_on() -> None:
    procedure = Procedure(EXPECTED, 1)
    procedure.begin(where(300), Phase.POUR, 300 * SECOND, Source.SCALE)
    began, ended = procedure.insert(
        where(310), Phase.STIR, 100 * SECOND, 220 * SECOND, Source.SCALE
    )
    assert isinstance(began, PhaseBegan)
    assert isinstance(ended, PhaseEnded)
    assert (ended.began_us, ended.duration_us) == (100 * SECOND, 120 * SECOND)
    assert procedure.current == Phase.POUR
    assert procedure.runs[Phase.STIR].ended_us == 220 * SECOND


def test_the_upcoming_phase_is_the_first_after_the_last_begun() -> None:
    procedure = Procedure(EXPECTED, 1)
    upcoming = [procedure.upcoming]
    for second, phase in enumerate((Phase.ADD_FRAGRANCE, Phase.POUR)):
        procedure.begin(where(second), phase, second * SECOND, Source.SCALE)
        upcoming.append(procedure.upcoming)
    assert upcoming == [Phase.DRAW_WAX, Phase.STIR, None]
