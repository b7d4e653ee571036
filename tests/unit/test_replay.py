"""A stored lot fed again; that whole lots come out byte for byte is in the strangers' benches."""

from collections.abc import Sequence

import msgspec
import pytest
from feed_script import Script
from stranger_round import AMBER, Plan
from stranger_styles import STYLES, work

from collector.alarm_events import AlarmRaised
from collector.event_base import Event
from collector.events import decode, encode
from collector.lot_events import LotOpened, PhaseMarked
from collector.replay import Difference, derived_of, first_difference, replay, under


def worked(plan: Plan) -> Script:
    script = Script()
    work(script, STYLES["nothing tared"], plan)
    return script


def test_derived_events_in_the_journal_are_not_fed_again() -> None:
    script = worked(Plan(vessels=1, fill_off_g={1: -7.0}))
    journal: list[Event] = sorted(
        [*script.journal(), *script.events], key=lambda event: event.at_us
    )
    opening = next(event for event in journal if isinstance(event, LotOpened))
    journal.remove(opening)
    _bench, derived = replay([opening, *journal], script.readings())
    assert [encode(event) for event in derived] == [encode(event) for event in script.events]
    assert derived_of([opening, *journal]) == sorted(derived, key=lambda event: event.at_us)


def stored(events: list[Event]) -> list[Event]:
    """The events as they come back from the store: a phase is then plain text."""
    return [decode(encode(event)) for event in events]


def test_a_mark_read_back_means_what_it_meant() -> None:
    script = worked(Plan(vessels=1, stir_s=45.0))
    kept = script.journal()
    assert first_difference(script.events, replay(stored(kept), script.readings())[1]) is None
    assert ("stir-duration", 1, None) in script.found()


def test_the_first_difference_is_named_with_its_place() -> None:
    script = worked(Plan(vessels=1))
    first, second, *others = script.events
    assert first_difference([first, second], [first, second]) is None
    assert first_difference([first, *others], script.events) == Difference(2, others[0], second)
    assert first_difference([first], [first, second]) == Difference(2, None, second)


def test_a_recipe_without_a_phase_drops_the_marks_of_it() -> None:
    script = worked(Plan(vessels=1))
    unstirred = msgspec.structs.replace(AMBER, stir_at_least_s=None)
    opening, *others = under(script.journal(), unstirred)
    assert isinstance(opening, LotOpened)
    assert opening.recipe == unstirred
    assert not [event for event in others if isinstance(event, PhaseMarked)]
    assert "stir" not in [getattr(e, "phase", None) for e in replayed(script, opening, others)]


def replayed(script: Script, opening: LotOpened, others: Sequence[Event]) -> Sequence[Event]:
    return replay([opening, *others], script.readings())[1]


def test_other_limits_judge_the_same_readings_otherwise() -> None:
    script = worked(Plan(vessels=1, fill_off_g={1: -7.0}))
    vessel = msgspec.structs.replace(AMBER.vessel, tolerance_mg=10_000)
    patient = msgspec.structs.replace(AMBER, vessel=vessel)
    opening, *others = script.journal()
    assert isinstance(opening, LotOpened)
    again = msgspec.structs.replace(opening, recipe=patient)
    _bench, derived = replay([again, *others], script.readings())
    assert not [event for event in derived if isinstance(event, AlarmRaised)]


def test_an_unfinished_lot_is_still_open_after_its_replay() -> None:
    script = worked(Plan(vessels=1))
    until_us = script.evidence_us["fragrance", 1, None]
    journal = [event for event in script.journal() if event.at_us <= until_us]
    readings = [reading for reading in script.readings() if reading.taken_us <= until_us]
    bench, derived = replay(journal, readings)
    assert bench.lot == "1"
    assert derived == script.events[: len(derived)]


def test_readings_from_before_the_opening_do_not_matter() -> None:
    script = worked(Plan(vessels=1))
    opened_us = script.journal()[0].at_us
    later = [reading for reading in script.readings() if reading.taken_us > opened_us]
    assert len(later) < len(script.readings())
    assert replay(script.journal(), later)[1] == script.events


@pytest.mark.parametrize("cut", [0, 1])
def test_a_journal_without_its_opening_is_refused(cut: int) -> None:
    journal = worked(Plan(vessels=1)).journal()
    with pytest.raises(ValueError, match="begins with its opening"):
        replay(journal[1:] if cut else [], [])
