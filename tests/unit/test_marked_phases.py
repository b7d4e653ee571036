"""Phases that only a mark can tell: what is expected of a maker who marks, and of one who never
does. What is expected here is decided by the project; there is no outside source."""

import msgspec
from feed_script import PITCHER, Script
from stranger_moves import draw_untared, fill_untared, leave, scent_on_top
from stranger_round import AMBER, Plan, Round
from stranger_styles import STYLES, work

from collector.alarm_events import AlarmCleared, AlarmRaised
from collector.phases import Edge, Phase
from collector.priorities import Priority
from collector.recipes import OwnPhase, Recipe

REST = OwnPhase("rest", after=Phase.STIR, at_least_s=300, at_most_s=600)
WARM = OwnPhase("warm the jars", after=Phase.PREPARE)
CALM = msgspec.structs.replace(AMBER, prepare=True, own_phases=(WARM, REST))


def drawn(recipe: Recipe = CALM, vessels: int = 1) -> tuple[Script, Round]:
    """A lot whose first pitcher is drawn and scented; nobody has marked anything."""
    script = Script()
    script.celsius[PITCHER] = 82.5
    script.open(recipe, vessels)
    script.hold(3)
    now = Round(script, Plan(recipe=recipe, vessels=vessels))
    draw_untared(now)
    scent_on_top(now)
    return script, now


def pour(script: Script, now: Round) -> None:
    script.celsius[PITCHER] = 60.0
    script.hold(3)
    leave(now)
    fill_untared(now, 1)


def stir(script: Script) -> None:
    script.mark(Phase.STIR)
    script.hold(122)
    script.mark(Phase.STIR, Edge.END)


def alarms(script: Script) -> list[tuple[str, str | None, Priority]]:
    return [(alarm.rule, alarm.phase, alarm.priority) for alarm in script.deviations()]


def outcomes(script: Script) -> list[str]:
    return [event.outcome for event in script.events if isinstance(event, AlarmCleared)]


def test_who_never_marks_is_told_once_at_the_end_and_quietly() -> None:
    script = Script()
    work(script, STYLES["nothing tared"], Plan(recipe=CALM, marks=False))
    (alarm,) = script.deviations()
    assert alarm.at_us >= script.evidence_us["close", 0, None]
    assert (alarm.rule, alarm.priority) == ("skipped-phase", Priority.LOW)
    assert "preparing the vessels, warm the jars, rest" in alarm.message


def test_who_marks_is_told_of_the_phase_that_was_not_marked() -> None:
    script, now = drawn()
    stir(script)
    pour(script, now)
    assert alarms(script) == [
        ("skipped-phase", Phase.PREPARE, Priority.MEDIUM),
        ("skipped-phase", "warm the jars", Priority.MEDIUM),
        ("skipped-phase", "rest", Priority.MEDIUM),
    ]


def test_a_mark_that_comes_late_takes_the_alarm_back() -> None:
    script, now = drawn()
    stir(script)
    pour(script, now)
    script.mark("rest")
    assert "done after all" in outcomes(script)


def test_an_own_phase_of_its_time_is_no_deviation() -> None:
    recipe = msgspec.structs.replace(AMBER, own_phases=(REST,))
    script, now = drawn(recipe)
    stir(script)
    script.mark("rest")
    script.hold(301)
    script.mark("rest", Edge.END)
    pour(script, now)
    script.close()
    assert not script.deviations()


def test_an_own_phase_marked_ended_too_early_is_told_and_cleared_when_taken_up_again() -> None:
    script, _now = drawn(msgspec.structs.replace(AMBER, own_phases=(REST,)))
    stir(script)
    script.mark("rest")
    script.hold(240)
    script.mark("rest", Edge.END)
    (alarm,) = script.deviations()
    assert (alarm.rule, alarm.phase, alarm.unit) == ("phase-duration", "rest", "s")
    assert (alarm.limit.low, alarm.limit.high) == (300_000, 600_000)
    assert abs((alarm.measured or 0) - 240_000) < 1_000
    assert alarm.message == "Rest lasted about 4 min of about 5 min."
    script.mark("rest")
    script.hold(62)
    assert outcomes(script) == ["gone on to about 5 min"]


def test_a_pour_that_begins_ends_an_own_phase_before_its_time() -> None:
    script, now = drawn(msgspec.structs.replace(AMBER, own_phases=(REST,)))
    stir(script)
    script.mark("rest")
    script.hold(100)
    pour(script, now)
    assert [alarm[:2] for alarm in alarms(script)] == [("phase-duration", "rest")]


def test_an_own_phase_that_goes_on_too_long_is_told_while_it_goes_on() -> None:
    script, _now = drawn(msgspec.structs.replace(AMBER, own_phases=(REST,)))
    stir(script)
    script.mark("rest")
    script.hold(600)
    assert not script.deviations()
    script.hold(3)
    (alarm,) = script.deviations()
    assert alarm.rule == "phase-duration"
    assert "the recipe allows about 10 min" in alarm.message
    script.hold(57)
    script.mark("rest", Edge.END)
    assert outcomes(script) == ["ended after about 11 min"]


def test_what_comes_before_the_wax_is_asked_for_once_in_a_lot_of_two_pitchers() -> None:
    script, now = drawn(msgspec.structs.replace(CALM, own_phases=(WARM,)), vessels=7)
    for phase in (Phase.PREPARE, "warm the jars"):
        script.mark(phase)
        script.mark(phase, Edge.END)
    stir(script)
    script.celsius[PITCHER] = 60.0
    script.hold(3)
    leave(now)
    for vessel in range(1, 5):
        fill_untared(now, vessel)
    script.celsius[PITCHER] = 82.5
    script.hold(3)
    second = Round(script, Plan(recipe=CALM, vessels=7))
    second.pitcher = 2
    draw_untared(second)
    scent_on_top(second)
    raised = [event for event in script.events if isinstance(event, AlarmRaised)]
    asked = {alarm.phase for alarm in raised if alarm.pitcher == 2}
    assert not asked & {Phase.PREPARE, "warm the jars"}
    assert script.bench.run is not None
    assert script.bench.run.procedure.pitcher == 2
