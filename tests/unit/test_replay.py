"""A stored lot fed again; that whole lots come out byte for byte is in the strangers' benches."""

import msgspec
import pytest
from feed_script import Script
from stranger_round import AMBER, Plan
from stranger_styles import STYLES, work

from collector.events import AlarmRaised, Event, LotOpened, encode
from collector.replay import derived_of, replay


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
