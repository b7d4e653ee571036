"""From what was told to what would have been: whoever folds both finds the same."""

import msgspec
from alarm_samples import cleared, folded, raised

from collector.alarm_events import AlarmReleased, AlarmSuppressed
from collector.alarm_ledger import AlarmLedger
from collector.alarms import Alarm, AlarmState
from collector.amends import TAKEN_BACK, Amends, amends
from collector.events import AnyDerived
from collector.procedure import Where

NOW = Where(50, "creek", "1")
ABOVE = raised("1.1")
OTHER = msgspec.structs.replace(raised("1.2", 12), message="Something else.")
BY = raised("1.7", 3, rule="instrument-silent")
SUPPRESSED = AlarmSuppressed(at_us=14, bench="creek", lot="1", alarm="1.1", by="1.7")
RELEASED = AlarmReleased(at_us=16, bench="creek", lot="1", alarm="1.1")


def amended(told: list[AnyDerived], retold: list[AnyDerived]) -> tuple[Amends, dict[str, Alarm]]:
    """Return the amends, and the alarms of a journal that tells them."""
    latched = {a.raised.alarm for a in AlarmLedger(told).alarms.values() if a.raised.latched}
    made = amends(NOW, told, retold, latched)
    return made, AlarmLedger([*told, *made.events]).alarms


def test_an_alarm_that_would_not_have_come_is_cleared_as_taken_back() -> None:
    made, alarms = amended([ABOVE], [])
    assert (alarms["1.1"].state, alarms["1.1"].outcome) == (AlarmState.CLEARED, TAKEN_BACK)
    assert made.dropped == {"1.1"}


def test_an_alarm_that_was_over_already_is_left_alone() -> None:
    made, _alarms = amended([ABOVE, cleared("1.1", 9)], [])
    assert made.events == ()


def test_an_alarm_that_would_have_come_is_told_now() -> None:
    made, alarms = amended([], [ABOVE])
    assert [event.at_us for event in made.events] == [50]
    assert alarms["1.1"].state is AlarmState.ACTIVE


def test_an_alarm_that_would_have_been_over_is_told_with_its_end() -> None:
    _made, alarms = amended([], [ABOVE, cleared("1.1", 9)])
    assert (alarms["1.1"].state, alarms["1.1"].outcome) == (AlarmState.CLEARED, "put right")


def test_what_would_have_come_and_been_withdrawn_is_not_told() -> None:
    withdrawn = msgspec.structs.replace(cleared("1.1", 9), outcome=TAKEN_BACK)
    made, _alarms = amended([], [ABOVE, withdrawn])
    assert (made.events, made.unsaid) == ((), frozenset({"1.1"}))


def test_what_would_have_become_part_of_another_is_told_only_where_that_one_is() -> None:
    made, alarms = amended([], [ABOVE, OTHER, folded("1.1", "1.2", 20)])
    assert (made.unsaid, list(alarms)) == (frozenset({"1.1"}), ["1.2"])


def test_of_several_that_say_the_same_those_that_stand_belong_together() -> None:
    before = msgspec.structs.replace(ABOVE, alarm="1.8")
    again = msgspec.structs.replace(ABOVE, alarm="1.9", at_us=20)
    made, _alarms = amended([ABOVE], [before, cleared("1.8", 15), again])
    assert made.names == {"1.9": "1.1"}


def test_an_alarm_that_came_on_both_ways_keeps_the_number_it_was_told_by() -> None:
    made, _alarms = amended([ABOVE], [msgspec.structs.replace(ABOVE, alarm="1.9", at_us=20)])
    assert (made.events, made.names, made.dropped) == ((), {"1.9": "1.1"}, frozenset())


def test_an_alarm_with_other_numbers_becomes_part_of_the_one_that_would_have_been() -> None:
    made, alarms = amended([ABOVE], [msgspec.structs.replace(OTHER, alarm="1.9")])
    assert (alarms["1.1"].folded_into, alarms["1.9"].state) == ("1.9", AlarmState.ACTIVE)
    assert made.names == {}


def test_an_alarm_that_would_still_stand_stands_again() -> None:
    told: list[AnyDerived] = [ABOVE, OTHER, folded("1.1", "1.2", 20)]
    _made, alarms = amended(told, [ABOVE, OTHER])
    assert (alarms["1.1"].state, alarms["1.1"].folded_into) == (AlarmState.ACTIVE, None)


def test_an_alarm_that_ended_otherwise_says_how_it_would_have_ended() -> None:
    _made, alarms = amended(
        [ABOVE, OTHER, folded("1.1", "1.2", 20)], [ABOVE, OTHER, cleared("1.1", 9)]
    )
    assert (alarms["1.1"].outcome, alarms["1.1"].folded_into) == ("put right", None)


def test_what_lies_over_an_alarm_is_as_it_would_be() -> None:
    _made, alarms = amended([BY, ABOVE, SUPPRESSED], [BY, ABOVE])
    assert alarms["1.1"].suppressed_by is None
    _made, alarms = amended([BY, ABOVE, SUPPRESSED, RELEASED], [BY, ABOVE, SUPPRESSED])
    assert alarms["1.1"].suppressed_by == "1.7"


def test_where_both_ways_tell_the_same_there_is_nothing_to_amend() -> None:
    told: list[AnyDerived] = [BY, ABOVE, SUPPRESSED, OTHER, folded("1.1", "1.2", 20)]
    made, _alarms = amended(told, told)
    assert made.events == ()
