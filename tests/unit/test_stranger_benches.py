"""Benches that a stranger may set up: what is there, what is missing, and what fails."""

import random
from dataclasses import replace

import pytest
from feed_script import PITCHER, POT, ROOM, SCALE, Found, Instrument, Script
from hypothesis import given, settings
from hypothesis import strategies as st
from stranger_checks import check, check_weighings
from stranger_moves import (
    draw_tared,
    draw_untared,
    fill_tared,
    fill_untared,
    leave,
    leave_and_zero,
    scent_on_top,
)
from stranger_round import AMBER, Plan, Round
from stranger_styles import FROM_A_BEAKER, STYLES, Style, work

from collector.alarm_events import AlarmCleared, AlarmRaised
from collector.bench import Bench, Tick
from collector.conclusions import PhaseBegan, Source, WeighingAccepted, WeighingKind
from collector.display import Display
from collector.events import AnyDerived, AnyGiven, encode
from collector.phases import Phase
from collector.readings import Reading
from collector.replay import replay

TARED = STYLES["all tared"]
UNTARED = STYLES["nothing tared"]
ON_THE_SCALE = Style(draw_tared, scent_on_top, leave_and_zero, fill_tared, stirs_on_scale=True)


@pytest.mark.parametrize("shown_g", [0.3, 12.3, -310.0, 640.0])
@pytest.mark.parametrize("style", ["nothing tared", "pitcher tared, vessels not"])
def test_a_lot_may_be_opened_whatever_the_scale_shows(style: str, shown_g: float) -> None:
    script = Script(level_g=shown_g)
    now = work(script, STYLES[style], Plan(fill_off_g={2: -7.0}))
    assert script.found() == {("fill-grams", 1, 2): 1}
    check_weighings(script, now)


def test_a_pitcher_that_stands_there_already_is_drawn_into() -> None:
    script = Script(level_g=310.0)
    style = replace(UNTARED, draw=pour_into_what_stands_there)
    now = work(script, style, Plan(fill_off_g={1: 6.0}))
    assert script.found() == {("fill-grams", 1, 1): 1}
    check_weighings(script, now)


def pour_into_what_stands_there(now: Round) -> None:
    now.empty_g, now.away_g = now.script.level_g, now.script.level_g - 310.0
    now.pour_wax()


@pytest.mark.parametrize("style", STYLES)
def test_without_a_pitcher_probe_no_temperature_is_judged(style: str) -> None:
    script = Script(probes=(POT, ROOM))
    script.celsius[PITCHER] = 0.0
    now = work(script, STYLES[style], Plan(add_c=60.0, pour_c=90.0, fill_off_g={2: -7.0}))
    assert script.found() == {("fill-grams", 1, 2): 1}
    check_weighings(script, now)


@pytest.mark.parametrize("style", STYLES)
def test_a_silent_pitcher_probe_is_told_once_and_nothing_is_made_up(style: str) -> None:
    script = Script(silent={PITCHER})
    now = work(script, STYLES[style], Plan(add_c=60.0, pour_c=90.0))
    assert script.found() == {("instrument-silent", None, None): 1}
    assert script.deviations()[0].subject == PITCHER
    check_weighings(script, now)


def test_a_bench_without_any_probe_weighs() -> None:
    script = Script(probes=())
    now = work(script, TARED, Plan())
    assert not script.found()
    check_weighings(script, now)


def test_a_probe_that_falls_silent_is_told_within_three_seconds_of_its_patience() -> None:
    script = Script()
    script.open(AMBER, 3)
    script.hold(5)
    script.silent.add(PITCHER)
    heard_us = max(r.taken_us for r in script.readings() if r.channel == PITCHER)
    script.hold(14)
    (alarm,) = script.deviations()
    assert (alarm.rule, alarm.subject) == ("instrument-silent", PITCHER)
    assert 10_000_000 <= alarm.at_us - heard_us <= 13_000_000
    script.silent.clear()
    script.hold(2)
    assert any(isinstance(event, AlarmCleared) for event in script.events)


def test_a_silent_scale_is_told_too() -> None:
    script = Script(silent={SCALE})
    script.open(AMBER, 3)
    script.hold(14)
    assert [alarm.subject for alarm in script.deviations()] == [SCALE]


def test_a_pot_that_gets_too_hot_is_told_within_three_seconds() -> None:
    script = Script()
    script.open(AMBER, 3)
    script.hold(5)
    script.celsius[POT] = 94.0
    hot_us = script.now_us
    script.hold(20)
    (alarm,) = script.deviations()
    assert (alarm.rule, alarm.subject, alarm.measured) == ("over-temperature", POT, 94_000)
    assert alarm.at_us - hot_us <= 3_000_000


def test_a_pitcher_stirred_on_the_scale_counts_by_its_marks() -> None:
    check(ON_THE_SCALE, Plan(), [], Instrument())
    short = Plan(stir_s=70.0)
    check(ON_THE_SCALE, short, [("stir-duration", 1, None)], Instrument())


def test_a_pitcher_that_rests_on_the_scale_is_not_being_stirred() -> None:
    resting = Plan(marks=False)
    check(ON_THE_SCALE, resting, [("skipped-phase", 1, None)], Instrument())


def test_unrest_on_the_scale_is_stirring() -> None:
    script = Script()
    script.open(AMBER, 1)
    script.hold(3)
    now = Round(script, Plan(vessels=1))
    draw_untared(now)
    scent_on_top(now)
    full_g = script.level_g
    for turn in range(125):
        script.ramp(full_g + (9 if turn % 2 else -9), 1.0)
    script.jump(full_g)
    script.celsius[PITCHER] = 60.0
    script.hold(5)
    leave(now)
    fill_untared(now, 1)
    script.close()
    assert not script.found()
    stirs = [e for e in script.events if isinstance(e, PhaseBegan) and e.phase == Phase.STIR]
    assert [stir.source for stir in stirs] == [Source.SCALE]


def test_fragrance_may_be_weighed_in_a_beaker() -> None:
    check(FROM_A_BEAKER, Plan(), [], Instrument())


def test_a_light_vessel_that_is_topped_up_is_put_right() -> None:
    script = Script()
    script.open(AMBER, 1)
    script.hold(3)
    now = Round(script, Plan(vessels=1, fill_off_g={1: -9.0}))
    draw_untared(now)
    scent_on_top(now)
    leave(now)
    script.hold(124)
    script.celsius[PITCHER] = 60.0
    script.hold(3)
    script.jump(180.0)
    script.hold(3)
    now.pour_fill(1)
    script.hold(3)
    script.add(9.0, 2.0)
    script.hold(5)
    fills = [e for e in script.events if isinstance(e, WeighingAccepted)][2:]
    assert [(fill.revision, fill.mass_mg) for fill in fills] == [(0, 211_000), (1, 220_000)]
    assert [alarm.rule for alarm in script.deviations()] == ["fill-grams"]
    cleared = [event for event in script.events if isinstance(event, AlarmCleared)]
    assert [event.outcome for event in cleared] == ["put right: now 220.0 g"]


def test_wax_that_pauses_between_ladles_is_not_short() -> None:
    script = Script()
    script.open(AMBER, 3)
    script.hold(3)
    for _ in range(5):
        script.add(616.7 / 5, 4.0)
        script.hold(2)
    script.hold(5)
    assert not script.found()
    assert script.weighings() == {(WeighingKind.WAX, 1, None): pytest.approx(616.7, abs=0.2)}


@pytest.mark.parametrize("seed", range(12))
def test_every_restless_feed_comes_to_the_same(seed: int) -> None:
    plan = Plan(vessels=6, add_c=75.0, fill_off_g={5: 7.0})
    expected: list[Found] = [("fragrance-temperature", 1, None), ("fill-grams", 1, 5)]
    check(TARED, plan, expected, Instrument(noise_divisions=1, seed=seed))


# ---------------------------------------------------------------- replay


def encoded(events: list[AnyDerived]) -> list[bytes]:
    return [encode(event) for event in events]


@pytest.mark.parametrize("style", STYLES)
def test_a_replay_gives_the_same_events_byte_for_byte(style: str) -> None:
    plan = Plan(add_c=75.0, stir_s=60.0, fill_off_g={2: -7.0})
    script = Script(Instrument(noise_divisions=1))
    work(script, STYLES[style], plan)
    _bench, derived = replay(script.journal(), script.readings())
    assert encoded(derived) == encoded(script.events)


STIRRED_SHORT = Script()
work(STIRRED_SHORT, UNTARED, Plan(vessels=1, add_c=75.0, stir_s=60.0, fill_off_g={1: -7.0}))


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 1_000_000), st.floats(0.01, 0.9))
def test_ticks_between_the_readings_change_nothing(seed: int, share: float) -> None:
    chance = random.Random(seed)  # noqa: S311 - where the ticks fall, no secret
    last_us = time_of(STIRRED_SHORT.inputs[0])
    bench = Bench("creek", STIRRED_SHORT.channels, Display(), last_us)
    events: list[AnyDerived] = []
    for item in STIRRED_SHORT.inputs:
        at_us = time_of(item)
        if chance.random() < share:
            events += bench.feed(Tick(chance.randint(last_us, at_us)))
        events += bench.feed(item)
        last_us = at_us
    assert encoded(events) == encoded(STIRRED_SHORT.events)


def time_of(item: Reading | AnyGiven) -> int:
    return item.taken_us if isinstance(item, Reading) else item.at_us


def test_a_replay_knows_every_alarm_that_was_raised() -> None:
    _bench, derived = replay(STIRRED_SHORT.journal(), STIRRED_SHORT.readings())
    raised = [event.rule for event in derived if isinstance(event, AlarmRaised)]
    assert raised == ["fragrance-temperature", "stir-duration", "fill-grams"]
