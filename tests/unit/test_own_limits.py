"""The limits of a recipe's own, on the bench and against noise."""

import random

import msgspec
import pytest
from feed_script import PITCHER, POT, ROOM, Script
from stranger_moves import draw_untared, fill_untared, leave, scent_on_top
from stranger_round import AMBER, Plan, Round

from collector import own_rules
from collector.alarm_events import AlarmCleared, AlarmRaised
from collector.limits import Crossing, LimitWatch
from collector.phases import Edge, Phase
from collector.priorities import Priority
from collector.rates import Rate
from collector.readings import Role
from collector.recipes import Manner, OwnLimit
from collector.replay import derived_of, replay

SECOND = 1_000_000
COLD_ROOM = OwnLimit(
    rule="cold room", role=Role.ROOM, low_mdegc=18_000, during=("pour",), advice="Shut it."
)
PLUNGE = OwnLimit(rule="plunge", role=Role.PITCHER, fall_per_min=2_000)
WARM_POT = OwnLimit(
    rule="warm pot", role=Role.POT, high_mdegc=78_000, manner=Manner(priority=Priority.LOW)
)


def opened(*limits: OwnLimit) -> Script:
    script = Script()
    script.celsius[PITCHER] = 82.5
    script.open(msgspec.structs.replace(AMBER, own_limits=limits), 1)
    script.hold(3)
    return script


def raised(script: Script, rule: str) -> list[AlarmRaised]:
    alarms = [event for event in script.events if isinstance(event, AlarmRaised)]
    return [alarm for alarm in alarms if alarm.rule == rule]


def outcomes(script: Script) -> list[str]:
    return [event.outcome for event in script.events if isinstance(event, AlarmCleared)]


def blend(script: Script) -> Round:
    now = Round(script, Plan(vessels=1))
    draw_untared(now)
    scent_on_top(now)
    script.mark(Phase.STIR)
    script.hold(122)
    script.mark(Phase.STIR, Edge.END)
    return now


def test_a_limit_of_the_whole_lot_is_judged_from_its_opening() -> None:
    script = opened(WARM_POT)
    script.celsius[POT] = 80.0
    script.hold(10)
    (alarm,) = raised(script, "warm pot")
    assert (alarm.subject, alarm.measured, alarm.unit) == (POT, 80_000, "degC")
    assert (alarm.limit.low, alarm.limit.high, alarm.priority) == (None, 78_000, Priority.LOW)
    assert alarm.message == "Warm pot: creek-pot is at 80.0 °C, above the limit of 78.0 °C."


def test_a_limit_of_a_phase_is_judged_in_that_phase_and_ends_with_it() -> None:
    script = opened(COLD_ROOM)
    script.celsius[ROOM] = 16.0
    now = blend(script)
    assert not raised(script, "cold room")
    script.celsius[PITCHER] = 60.0
    script.hold(3)
    leave(now)
    script.mark(Phase.POUR)
    script.hold(7)
    (alarm,) = raised(script, "cold room")
    assert (alarm.phase, alarm.advice, alarm.limit.low) == ("pour", "Shut it.", 18_000)
    fill_untared(now, 1)
    assert "judged no longer in this phase" in outcomes(script)


def test_a_limit_clears_when_the_value_is_back_by_more_than_the_deadband() -> None:
    script = opened(WARM_POT)
    script.celsius[POT] = 80.0
    script.hold(10)
    script.celsius[POT] = 77.5
    script.hold(20)
    assert not outcomes(script)
    script.celsius[POT] = 76.5
    script.hold(15)
    assert outcomes(script) == ["back to 76.5 °C"]


def test_a_fall_that_is_too_fast_is_told_with_its_rate() -> None:
    script = opened(PLUNGE)
    for _ in range(60):
        script.celsius[PITCHER] -= 0.05  # 3 °C a minute
        script.hold(1)
    (alarm,) = raised(script, "plunge")
    assert alarm.unit == "degC/min"
    assert (alarm.limit.low, alarm.limit.high) == (-2_000, None)
    assert alarm.measured == pytest.approx(-3_000, abs=200)
    assert "falls by" in alarm.message
    assert "the limit is 2.0 °C a minute" in alarm.message
    script.hold(120)
    assert len(outcomes(script)) == 1


def test_a_rise_is_no_fall() -> None:
    script = opened(PLUNGE)
    for _ in range(90):
        script.celsius[PITCHER] += 0.1
        script.hold(1)
    assert not raised(script, "plunge")


def test_a_lot_with_own_limits_is_judged_the_same_again() -> None:
    script = opened(WARM_POT, PLUNGE, COLD_ROOM)
    for _ in range(60):
        script.celsius[PITCHER] -= 0.05
        script.hold(1)
    again = replay(script.journal(), script.readings())[1]
    assert raised(script, "plunge")
    assert again == derived_of(script.events)


@pytest.mark.parametrize("seed", range(20))
def test_a_noisy_probe_on_an_own_limit_for_an_hour_is_one_alarm(seed: int) -> None:
    # Gaussian noise, sigma 0.4, centred on the limit at 1 Hz: a median of 900 alarms in the hour
    # without deadband and delay (a simulation of 20 seeds).
    chance = random.Random(seed)  # noqa: S311 - noise, no secret
    watch = LimitWatch(own_rules.own_limit(COLD_ROOM))
    found = [
        watch.feed(second * SECOND, 18_000 + round(chance.gauss(0, 400))) for second in range(3600)
    ]
    assert (found.count(Crossing.VIOLATED), found.count(Crossing.KEPT)) == (1, 0)


@pytest.mark.parametrize("seed", range(20))
def test_a_noisy_probe_whose_rate_is_on_the_limit_for_an_hour_is_one_alarm(seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311 - noise, no secret
    limit = OwnLimit(rule="slow", role=Role.POT, rise_per_min=1_000)
    rate, watch = Rate(), LimitWatch(own_rules.own_rate(limit))
    found = []
    for second in range(3600):
        value = round(20_000 + second * 1_000 / 60 + chance.gauss(0, 400))
        per_min = rate.feed(second * SECOND, value)
        found.append(None if per_min is None else watch.feed(second * SECOND, per_min))
    assert (found.count(Crossing.VIOLATED), found.count(Crossing.KEPT)) == (1, 0)
