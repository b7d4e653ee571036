"""The stir of a pitcher where the fragrance, or the pour, turned out otherwise."""

from stranger_round import AMBER

from collector.alarm_book import AlarmBook
from collector.alarm_events import AlarmRaised
from collector.conclusions import PhaseEnded, PhaseWithdrawn, Source
from collector.phases import Phase
from collector.procedure import Procedure, Where
from collector.scene import Load
from collector.stir import Stir
from collector.stirring import Glimpse, Stirred
from collector.weighings import Scale

SECOND = 1_000_000


def where(second: int) -> Where:
    return Where(second * SECOND, "creek", "1")


def watched(*spans: tuple[int, int, Scale, Load]) -> tuple[Stir, Procedure]:
    """A stir whose scale was watched once a second before anybody knew of the fragrance."""
    stir = Stir(AMBER, AlarmBook("1"))
    procedure = Procedure(AMBER.phases, 1)
    procedure.begin(where(0), Phase.ADD_FRAGRANCE, 0, Source.SCALE)
    for first, last, scale, load in spans:
        for second in range(first, last):
            stir.watch(Glimpse(second * SECOND, scale, load), going=False)
    return stir, procedure


def test_what_was_stirred_before_the_fragrance_was_told_counts() -> None:
    stir, _ = watched(
        (0, 20, Scale.RESTING, Load.PITCHER),
        (20, 150, Scale.MOVING, Load.PITCHER),
        (150, 160, Scale.RESTING, Load.PITCHER),
    )
    began, ended = stir.scented(10 * SECOND)
    assert began == Stirred(20 * SECOND, None)
    assert ended == Stirred(20 * SECOND, 149 * SECOND)


def test_what_was_stirred_before_the_fragrance_was_in_does_not_count() -> None:
    stir, _ = watched((0, 100, Scale.MOVING, Load.PITCHER), (100, 160, Scale.RESTING, Load.PITCHER))
    assert stir.scented(110 * SECOND) == []


def test_a_short_stir_is_told_even_where_the_pour_goes_on_already() -> None:
    stir, procedure = watched(
        (0, 20, Scale.RESTING, Load.PITCHER),
        (20, 60, Scale.MOVING, Load.PITCHER),
        (60, 300, Scale.RESTING, Load.PITCHER),
    )
    procedure.begin(where(300), Phase.POUR, 300 * SECOND, Source.SCALE)
    found = stir.scented(10 * SECOND)
    events = stir.settle_late(where(310), procedure, found)
    (ended,) = (event for event in events if isinstance(event, PhaseEnded))
    assert (ended.phase, ended.duration_us) == (Phase.STIR, 39 * SECOND)
    assert [event.rule for event in events if isinstance(event, AlarmRaised)] == ["stir-duration"]
    assert procedure.current == Phase.POUR


def test_the_gap_before_a_pour_that_never_was_is_taken_back() -> None:
    stir, procedure = watched((0, 60, Scale.RESTING, Load.NOTHING))
    stir.scented(0)
    stir.settle(where(60), procedure, 60 * SECOND)
    assert procedure.runs[Phase.STIR].source is Source.GAP
    events = stir.resume(where(61), procedure)
    assert any(isinstance(event, PhaseWithdrawn) for event in events)
    assert Phase.STIR not in procedure.runs
