"""The one next thing to do, step by step through a lot."""

import msgspec
from feed_script import PITCHER, SCALE, Script
from stranger_moves import draw_untared, fill_untared, leave, scent_on_top
from stranger_round import AMBER, TIN, Plan, Round

from collector.guidance import BenchStatus, NextMark, StepState, status_of
from collector.phases import Edge, Phase
from collector.recipes import OwnPhase, Window


def status(script: Script) -> BenchStatus:
    return status_of(script.bench)


def opened(vessels: int = 2, celsius: float = 82.0) -> tuple[Script, Round]:
    script = Script()
    script.celsius[PITCHER] = celsius
    script.open(AMBER, vessels)
    script.hold(3)
    return script, Round(script, Plan(vessels=vessels))


def test_a_bench_without_a_lot_asks_for_one() -> None:
    script = Script()
    script.hold(2)
    idle = status(script)
    assert (idle.do, idle.lot, idle.steps) == ("Open a lot", None, ())
    assert idle.scale is not None
    assert idle.scale.channel == SCALE


def test_first_the_wax_is_drawn_with_its_grams() -> None:
    script, _now = opened()
    # (2 x 220 + 6) / 1.08 = 412.96 g
    assert status(script).do == "Draw 413.0 g of wax into the pitcher"
    scale = status(script).scale
    assert scale is not None
    assert (scale.what, scale.target_mg, scale.tolerance_mg) == ("wax", 412_963, 8_259)


def test_one_of_several_pitchers_says_which() -> None:
    script = Script()
    script.open(TIN, 9)
    script.hold(2)
    assert "into pitcher 1 of 2" in status(script).do
    assert (status(script).pitcher, status(script).pitchers) == (1, 2)


def test_then_the_fragrance_for_the_wax_really_drawn() -> None:
    script, now = opened()
    draw_untared(now)
    # 8 % of 413.0 g
    assert status(script).do == "Weigh 33.0 g of juniper into the pitcher"
    assert "for the 413.0 g drawn" in status(script).detail
    temperature = status(script).temperature
    assert temperature is not None
    assert (temperature.channel, temperature.window) == (PITCHER, Window(80_000, 85_000))


def test_wax_outside_the_window_is_waited_for_or_warmed() -> None:
    script, now = opened(celsius=88.0)
    draw_untared(now)
    assert status(script).do == "Let it cool to 85.0 °C"
    script.celsius[PITCHER] = 75.0
    script.hold(2)
    assert status(script).do == "Warm the wax to 80.0 °C"


def test_the_stir_counts_down_and_can_be_taken_up_again() -> None:
    script, now = opened()
    draw_untared(now)
    scent_on_top(now)
    assert status(script).do == "Stir for 120 s"
    assert status(script).next_mark == NextMark(Phase.STIR, Edge.BEGIN)
    script.mark(Phase.STIR)
    script.hold(40)
    stirring = status(script)
    assert stirring.do == "Keep stirring"
    assert stirring.phase == Phase.STIR
    assert stirring.phase_began_us is not None
    assert stirring.phase_until_us == stirring.phase_began_us + 120_000_000
    assert stirring.next_mark == NextMark(Phase.STIR, Edge.END)
    script.mark(Phase.STIR, Edge.END)
    assert status(script).do.startswith("Stir 8")  # some 80 s are left
    script.mark(Phase.STIR)
    script.hold(90)
    assert status(script).do == "Stirred long enough"


def test_then_the_pour_waits_for_its_window_and_each_vessel_is_named() -> None:
    script, now = opened()
    draw_untared(now)
    scent_on_top(now)
    leave(now)
    script.mark(Phase.STIR)
    script.hold(121)
    script.mark(Phase.STIR, Edge.END)
    assert status(script).do == "Let it cool to 63.0 °C"
    script.celsius[PITCHER] = 60.0
    script.hold(2)
    assert status(script).do == "Fill vessel 1 of 2"
    assert status(script).detail.startswith("220.0 g each.")
    fill_untared(now, 1)
    assert status(script).do == "Fill vessel 2 of 2"
    fill_untared(now, 2)
    assert status(script).do == "Close the lot"


def test_a_pour_without_fragrance_is_stopped_until_somebody_says_to_go_on() -> None:
    script, now = opened()
    draw_untared(now)
    leave(now)
    script.celsius[PITCHER] = 60.0
    script.hold(2)
    fill_untared(now, 1)
    assert status(script).do == "Stop, and warm the wax to 80.0 °C"
    script.celsius[PITCHER] = 81.0
    script.hold(3)
    assert status(script).do == "Stop, and weigh in 33.0 g of juniper"  # 8 % of 413.0 g
    script.acknowledge()
    assert "weigh in" not in status(script).do


def test_a_pour_without_a_stir_is_stopped_and_the_button_begins_it() -> None:
    script, now = opened()
    draw_untared(now)
    scent_on_top(now)
    script.celsius[PITCHER] = 60.0
    leave(now)
    fill_untared(now, 1)
    assert ("skipped-phase", 1, None) in script.found()
    assert status(script).do == "Stop pouring and stir 120 s"
    assert status(script).next_mark == NextMark(Phase.STIR, Edge.BEGIN)
    script.mark(Phase.STIR)
    assert "Stop pouring" not in status(script).do


def test_the_strip_shows_what_is_done_now_next_and_skipped() -> None:
    script, now = opened()
    draw_untared(now)
    assert [step.state for step in status(script).steps] == [
        StepState.DONE,
        StepState.NEXT,
        StepState.AHEAD,
        StepState.AHEAD,
    ]
    leave(now)
    script.celsius[PITCHER] = 60.0
    script.hold(2)
    fill_untared(now, 1)
    assert [step.state for step in status(script).steps] == [
        StepState.DONE,
        StepState.SKIPPED,
        StepState.SKIPPED,
        StepState.NOW,
    ]


def test_a_fragrance_that_went_in_too_cool_comes_before_the_stir() -> None:
    script, now = opened(celsius=76.0)
    draw_untared(now)
    scent_on_top(now)
    script.hold(3)
    assert status(script).do == "Warm the wax to 80.0 °C"

    script.acknowledge()
    assert status(script).do == "Stir for 120 s"


def test_fragrance_that_is_short_is_topped_up_before_the_stir() -> None:
    script = Script()
    script.celsius[PITCHER] = 82.0
    script.open(AMBER, 2)
    now = Round(script, Plan(vessels=2, fragrance_share=0.7))
    draw_untared(now)
    scent_on_top(now)
    script.hold(4)
    # 30 % of 33.0 g
    assert status(script).do == "Add 9.9 g of juniper"


def test_a_thermometer_that_fails_never_lets_the_pour_begin_unmeasured() -> None:
    script, now = opened()
    draw_untared(now)
    scent_on_top(now)
    script.mark(Phase.STIR)
    script.hold(124)
    script.mark(Phase.STIR, Edge.END)
    script.silent.add(PITCHER)
    script.hold(15)
    assert status(script).do == "Measure the wax by hand"
    assert "57.0 to 63.0 °C" in status(script).detail


def test_no_mark_is_offered_for_what_would_come_too_early() -> None:
    script, now = opened()
    script.add(200.0, 8)
    assert status(script).next_mark is None  # wax is being drawn

    script.add(213.0, 8)
    script.hold(4)
    assert status(script).next_mark == NextMark(Phase.ADD_FRAGRANCE, Edge.BEGIN)
    scent_on_top(now)
    script.mark(Phase.STIR)
    script.hold(124)
    script.mark(Phase.STIR, Edge.END)
    assert status(script).next_mark is None  # at 82 °C it is too hot to pour


def test_a_stir_cut_short_can_be_taken_up_again() -> None:
    script, now = opened()
    draw_untared(now)
    scent_on_top(now)
    script.mark(Phase.STIR)
    script.hold(50)
    script.mark(Phase.STIR, Edge.END)
    assert status(script).do == "Stir 70 s more"
    assert status(script).next_mark == NextMark(Phase.STIR, Edge.BEGIN)


def test_a_stir_that_went_on_unmarked_is_not_asked_for_again() -> None:
    script, now = opened()
    draw_untared(now)
    scent_on_top(now)
    script.mark(Phase.STIR)
    script.hold(115)
    script.mark(Phase.STIR, Edge.END)
    assert status(script).do == "Stir 5 s more"
    script.acknowledge()
    assert status(script).do == "Let it cool to 63.0 °C"


def test_who_puts_an_alarm_aside_has_seen_it_and_goes_on() -> None:
    script, now = opened(celsius=76.0)
    draw_untared(now)
    scent_on_top(now)
    script.hold(3)
    assert status(script).do == "Warm the wax to 80.0 °C"
    script.shelve()
    assert status(script).do.startswith("Stir")
    temperature = status(script).temperature
    assert temperature is not None
    assert temperature.what == "pour"


def test_a_pitcher_without_room_for_the_wax_has_mix_poured_off_first() -> None:
    # 6 vessels: 1227.8 g of wax and 1.2 x 98.2 = 117.9 g of fragrance, which is right for
    # 1473.5 g: 245.7 g more, and the pitcher of 1500 g holds only 154.3 g more
    script, now = opened(vessels=6)
    now.plan = Plan(vessels=6, fragrance_share=1.2)
    draw_untared(now)
    scent_on_top(now)
    assert status(script).do.startswith("Pour ")
    assert status(script).do.endswith(" g of the mix off")
    assert status(script).detail.startswith("Then add ")
    advice = script.deviations()[-1].advice
    assert status(script).do.removeprefix("Pour ") in advice


def test_the_window_shown_is_that_of_what_is_to_be_put_right() -> None:
    script, now = opened(celsius=76.0)
    draw_untared(now)
    scent_on_top(now)
    script.hold(3)
    temperature = status(script).temperature
    assert temperature is not None
    assert (temperature.what, temperature.window) == ("add", Window(80_000, 85_000))


def test_a_phase_of_the_recipe_s_own_is_ended_by_the_big_button() -> None:
    script = Script()
    rest = OwnPhase("rest", after=Phase.STIR)
    script.open(msgspec.structs.replace(AMBER, own_phases=(rest,)), 1)
    script.hold(3)
    script.mark("rest")
    assert status(script).next_mark == NextMark("rest", Edge.END)
