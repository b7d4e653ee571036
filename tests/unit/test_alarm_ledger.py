"""What the journal makes of alarms, and what is laid over them at a bench."""

import pytest
from alarm_samples import (
    POT,
    acknowledged,
    cleared,
    folded,
    light_vessel,
    put_back,
    raised,
    reset,
    shelved,
    taken_out,
    unshelved,
)

from collector.alarm_events import AlarmReleased, AlarmRestored, AlarmSuppressed
from collector.alarm_ledger import AlarmLedger
from collector.alarms import AlarmState, Shown
from collector.errors import ConflictError, NotFoundError
from collector.event_base import Event
from collector.lot_events import OutOfService
from collector.service_events import ClockStepped

SUPPRESSED = AlarmSuppressed(at_us=5, bench="creek", lot="1", alarm="1.1", by="1.2")
RESTORED = AlarmRestored(at_us=30, bench="creek", lot="1", alarm="1.1")
RELEASED = AlarmReleased(at_us=7, bench="creek", lot="1", alarm="1.1")


@pytest.mark.parametrize(
    "order",
    [
        [acknowledged(at_us=5), cleared(at_us=9)],
        [cleared(at_us=5), acknowledged(at_us=9)],
    ],
)
def test_an_alarm_ends_when_it_is_seen_and_kept_again_in_any_order(order: list[Event]) -> None:
    alarm = AlarmLedger([raised(), *order]).find("1.1")
    assert (alarm.state, alarm.note, alarm.outcome) == (AlarmState.ENDED, "seen", "put right")


def test_a_latched_alarm_stays_until_it_is_reset() -> None:
    ledger = AlarmLedger([raised(latched=True), cleared(), acknowledged(at_us=10)])
    assert ledger.find("1.1").shown(11) is Shown.LATCHED
    ledger.apply(reset())
    assert (ledger.find("1.1").state, ledger.find("1.1").reset_us) == (AlarmState.ENDED, 20)


def test_a_journal_with_a_move_out_of_the_table_is_refused() -> None:
    with pytest.raises(ConflictError, match="its limit does not hold again yet"):
        AlarmLedger([raised(latched=True), acknowledged(), reset()])


def test_a_shelved_alarm_is_put_aside_with_its_reason_until_its_time() -> None:
    alarm = AlarmLedger([raised(), shelved()]).find("1.1")
    assert (alarm.shown(99), alarm.shown(100)) == (Shown.SHELVED, Shown.ACTIVE)
    assert (alarm.shelved_why, alarm.state) == ("melting", AlarmState.ACTIVE)


def test_a_shelved_alarm_that_flickers_stays_shelved() -> None:
    ledger = AlarmLedger([raised(), shelved(), cleared(), raised("1.2", 30)])
    assert ledger.find("1.2").shown(99) is Shown.SHELVED
    assert ledger.find("1.2").shown(100) is Shown.ACTIVE
    ledger.apply(cleared("1.2", 101))
    ledger.apply(raised("1.3", 102))
    assert ledger.find("1.3").shown(103) is Shown.ACTIVE


def test_shelving_outlives_the_lot_where_it_is_about_the_bench() -> None:
    ledger = AlarmLedger([raised(), shelved(), cleared(), raised("2.1", 30, lot="2")])
    assert ledger.find("2.1").shown(50) is Shown.SHELVED


def test_shelving_one_vessel_leaves_others_and_the_next_lot_alone() -> None:
    ledger = AlarmLedger([light_vessel("1.1", 0, "1", 3), shelved()])
    for alarm, lot, vessel in (("1.2", "1", 4), ("2.1", "2", 3)):
        ledger.apply(light_vessel(alarm, 10, lot, vessel))
        assert ledger.find(alarm).shown(11) is Shown.ACTIVE
    ledger.apply(light_vessel("1.3", 12, "1", 3))
    assert ledger.find("1.3").shown(13) is Shown.SHELVED


def test_another_channel_is_not_shelved_along() -> None:
    ledger = AlarmLedger([raised(), shelved(), raised("1.2", 10, subject="creek-pitcher")])
    assert ledger.find("1.2").shown(11) is Shown.ACTIVE


def test_unshelving_takes_up_all_that_stands_of_the_matter() -> None:
    ledger = AlarmLedger([raised(), shelved(), cleared(), raised("1.2", 30)])
    assert [alarm.raised.alarm for alarm in ledger.apply(unshelved())] == ["1.1", "1.2"]
    assert ledger.find("1.2").shown(51) is Shown.ACTIVE
    assert ledger.find("1.1").shown(51) is Shown.CLEARED
    ledger.apply(raised("1.3", 60))
    assert ledger.find("1.3").shown(61) is Shown.ACTIVE


def test_a_shelf_whose_time_is_over_gives_back_what_stands_once() -> None:
    ledger = AlarmLedger([raised(), shelved(), cleared(), raised("1.2", 30), raised("1.3", 40)])
    assert ledger.expired(99) == ()
    held = ledger.expired(100)
    assert [alarm.raised.alarm for alarm in held] == ["1.1", "1.2", "1.3"]
    assert [alarm.shown(100) for alarm in held] == [Shown.CLEARED, Shown.ACTIVE, Shown.ACTIVE]
    assert ledger.expired(101) == ()


def test_a_suppressed_alarm_names_what_suppressed_it_until_it_is_released() -> None:
    ledger = AlarmLedger([raised(), SUPPRESSED])
    assert ledger.find("1.1").shown(6) is Shown.SUPPRESSED
    assert ledger.find("1.1").suppressed_by == "1.2"
    ledger.apply(RELEASED)
    assert ledger.find("1.1").shown(8) is Shown.ACTIVE
    with pytest.raises(ConflictError):
        AlarmLedger([raised(), cleared(), SUPPRESSED])


def test_a_suppressed_alarm_that_is_cleared_is_suppressed_no_more() -> None:
    alarm = AlarmLedger([raised(), SUPPRESSED, cleared()]).find("1.1")
    assert (alarm.shown(10), alarm.suppressed_by) == (Shown.CLEARED, None)


def test_a_folded_alarm_names_what_it_was_folded_into() -> None:
    alarm = AlarmLedger([raised(), raised("1.2"), folded("1.1", "1.2", 5)]).find("1.1")
    assert (alarm.state, alarm.folded_into) == (AlarmState.ENDED, "1.2")


@pytest.mark.parametrize("subject", [None, POT])
def test_what_stands_of_a_rule_taken_out_is_out_of_service_until_it_is_put_back(
    subject: str | None,
) -> None:
    ledger = AlarmLedger([raised(), raised("1.2", subject=None)])
    changed = ledger.apply(taken_out(subject=subject))
    assert [a.raised.alarm for a in changed] == (["1.1", "1.2"] if subject is None else ["1.1"])
    assert ledger.find("1.1").shown(6) is Shown.OUT_OF_SERVICE
    assert ledger.find("1.1").out_of_service == "probe broken"
    out = OutOfService("over-temperature", subject, "probe broken")
    assert ledger.out_of_service("creek") == (out,)
    assert ledger.out_of_service("attic") == ()
    ledger.apply(put_back(subject=subject))
    assert ledger.find("1.1").shown(51) is Shown.ACTIVE
    assert ledger.out_of_service("creek") == ()


def test_a_rule_put_back_for_all_stays_out_for_the_channel_that_was_named() -> None:
    ledger = AlarmLedger([raised(), taken_out(subject=POT), taken_out(at_us=6), put_back()])
    assert ledger.find("1.1").shown(51) is Shown.OUT_OF_SERVICE


def test_other_rules_go_on() -> None:
    ledger = AlarmLedger([raised(), taken_out("fill-grams")])
    assert ledger.find("1.1").shown(6) is Shown.ACTIVE


def test_a_copy_goes_its_own_way() -> None:
    ledger = AlarmLedger([raised(), shelved()])
    ahead = ledger.copy()
    ahead.apply(unshelved())
    ahead.apply(taken_out())
    ahead.apply(raised("1.2", 60))
    assert ledger.find("1.1").shown(60) is Shown.SHELVED
    assert ledger.out_of_service("creek") == ()
    assert list(ledger.alarms) == ["1.1"]


def test_an_event_concerns_its_own_alarm_or_all_of_its_matter() -> None:
    ledger = AlarmLedger([raised(), cleared(), raised("1.2", 30), raised("1.3", 31, subject="x")])

    def concerned(event: Event) -> list[str]:
        return [alarm.raised.alarm for alarm in ledger.concerned(event)]

    assert concerned(acknowledged("1.2")) == ["1.2"]
    assert concerned(shelved("1.2")) == ["1.2", "1.1"]
    assert concerned(taken_out()) == ["1.2", "1.3"]
    assert concerned(acknowledged("9.9")) == []


def test_an_unknown_alarm_is_not_found() -> None:
    with pytest.raises(NotFoundError, match=r"There is no alarm 9\.9"):
        AlarmLedger().find("9.9")


def test_what_is_put_aside_stays_so_for_as_long_as_was_said_when_the_clock_steps() -> None:
    ledger = AlarmLedger([raised(), shelved()])
    stepped = ClockStepped(at_us=1_050, bench=None, lot=None, by_us=1_000, since_us=50)
    (moved,) = ledger.apply(stepped)
    assert moved.shelved_until_us == 1_100
    assert ledger.expired(1_099) == ()
    assert ledger.find("1.1").shown(1_099) is Shown.SHELVED
    assert [alarm.raised.alarm for alarm in ledger.expired(1_100)] == ["1.1"]


@pytest.mark.parametrize(
    ("before", "state"),
    [
        ([cleared()], AlarmState.ACTIVE),
        ([acknowledged(), cleared()], AlarmState.ACKNOWLEDGED),
        ([cleared(), acknowledged(at_us=12)], AlarmState.ACKNOWLEDGED),
        ([folded("1.1", "1.2", 9)], AlarmState.ACTIVE),
    ],
)
def test_an_alarm_whose_end_was_a_mistake_stands_as_before(
    before: list[Event], state: AlarmState
) -> None:
    alarm = AlarmLedger([raised(), *before, RESTORED]).find("1.1")
    assert alarm.state is state
    assert (alarm.cleared_us, alarm.outcome, alarm.folded_into) == (None, None, None)


def test_a_latched_alarm_that_was_let_go_of_by_mistake_stands_as_before() -> None:
    over = [raised(latched=True), cleared(), acknowledged(at_us=10), reset()]
    alarm = AlarmLedger([*over, RESTORED]).find("1.1")
    assert (alarm.state, alarm.reset_us) == (AlarmState.ACKNOWLEDGED, None)


def test_what_was_laid_over_in_the_meantime_lies_over_what_stands_again() -> None:
    ledger = AlarmLedger([raised(), cleared(), taken_out(at_us=12), RESTORED])
    assert ledger.find("1.1").shown(31) is Shown.OUT_OF_SERVICE


def test_an_alarm_that_never_ended_cannot_be_restored() -> None:
    with pytest.raises(ConflictError):
        AlarmLedger([raised(), RESTORED])
