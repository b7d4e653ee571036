"""One bench as a pure machine, with and without an open lot."""

import pytest
from feed_script import NOON_US, PITCHER, POT, SCALE, Script, channels_of
from stranger_round import AMBER, Plan
from stranger_styles import STYLES, work

from collector.alarm_events import AlarmCleared, AlarmRaised
from collector.bench import Bench, Tick
from collector.display import Display
from collector.errors import ConflictError
from collector.events import AnyDerived
from collector.readings import Reading
from collector.service_events import ClockStepped, CollectionResumed

SECOND = 1_000_000


def idle() -> Bench:
    return Bench("creek", channels_of(SCALE, PITCHER, POT), Display(), NOON_US)


def raised(events: list[AnyDerived]) -> list[str | None]:
    return [event.subject for event in events if isinstance(event, AlarmRaised)]


def test_a_bench_without_a_lot_watches_its_instruments() -> None:
    assert raised(idle().feed(Tick(NOON_US + 11 * SECOND))) == [SCALE, PITCHER, POT]


def test_time_is_looked_at_on_a_grid_however_it_comes() -> None:
    once, often = idle(), idle()
    at_once = once.feed(Tick(NOON_US + 30 * SECOND))
    in_bits = [
        event
        for step in range(1, 1001)
        for event in often.feed(Tick(NOON_US + step * 30 * SECOND // 1000))
    ]
    assert at_once == in_bits


def test_a_second_lot_is_refused_while_one_is_open_and_nothing_changes() -> None:
    script = Script()
    script.open(AMBER, 2)
    before = script.bench.now_us
    with pytest.raises(ConflictError, match=r"Lot 1 is open at bench creek") as refused:
        script.open(AMBER, 2)
    assert refused.value.details == {"lot": "1"}
    assert (script.bench.lot, script.bench.now_us) == ("1", before)


def test_a_closed_lot_leaves_the_bench_free_and_its_alarms_cleared() -> None:
    script = Script()
    work(script, STYLES["nothing tared"], Plan(fill_off_g={1: -7.0}))
    assert script.bench.lot is None
    last = [event for event in script.events if isinstance(event, AlarmCleared)][-1]
    assert last.outcome == "the lot was closed"
    script.open(AMBER, 1)
    assert script.bench.lot == "1"


def test_an_open_lot_starts_with_a_clean_slate() -> None:
    script = Script(silent={SCALE})
    script.hold(12)
    assert script.bench.feed(Tick(script.now_us)) == []
    script.open(AMBER, 1)
    cleared = [event for event in script.events if isinstance(event, AlarmCleared)]
    assert [event.outcome for event in cleared] == ["a lot was opened"]


def test_a_reading_of_a_stranger_s_channel_changes_nothing() -> None:
    assert idle().feed(Reading("neighbor", NOON_US + 1, 5)) == []


def test_nothing_is_judged_for_the_time_the_service_was_away() -> None:
    bench = idle()
    away = CollectionResumed(
        at_us=NOON_US + 3600 * SECOND, bench="creek", lot=None, since_us=NOON_US
    )
    assert bench.feed(away) == []
    assert bench.feed(Tick(NOON_US + 3609 * SECOND)) == []
    assert raised(bench.feed(Tick(NOON_US + 3611 * SECOND))) == [SCALE, PITCHER, POT]


def stepped(to_us: int) -> ClockStepped:
    return ClockStepped(at_us=to_us, bench=None, lot=None, by_us=to_us - NOON_US, since_us=NOON_US)


@pytest.mark.parametrize("by_s", [-14 * 86_400, -3600, 3600, 14 * 86_400])
def test_a_bench_without_a_lot_begins_afresh_when_the_clock_steps(by_s: int) -> None:
    bench = idle()
    assert raised(bench.feed(Tick(NOON_US + 11 * SECOND))) == [SCALE, PITCHER, POT]
    new_us = NOON_US + by_s * SECOND
    cleared = bench.feed(stepped(new_us))
    assert {event.at_us for event in cleared} == {min(new_us, NOON_US)}
    assert [e.outcome for e in cleared if isinstance(e, AlarmCleared)] == ["the clock was set"] * 3
    assert bench.now_us == new_us
    assert bench.feed(Tick(new_us + 9 * SECOND)) == []
    assert raised(bench.feed(Tick(new_us + 11 * SECOND))) == [SCALE, PITCHER, POT]


def test_the_time_of_an_open_lot_does_not_step() -> None:
    script = Script()
    script.open(AMBER, 1)
    with pytest.raises(ConflictError, match="its time goes on"):
        script.bench.feed(stepped(NOON_US + 3600 * SECOND))


def test_alarm_ids_begin_with_their_lot() -> None:
    script = Script()
    work(script, STYLES["nothing tared"], Plan(add_c=74.0, fill_off_g={1: -7.0}))
    assert [alarm.alarm for alarm in script.deviations()] == ["1.1", "1.2"]
