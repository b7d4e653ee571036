"""What a lot's scale and marks come to: phases, stirs, skips and their order."""

import msgspec
import pytest
from feed_script import PITCHER, Script
from stranger_moves import draw_untared, fill_untared, leave, scent_on_top
from stranger_round import AMBER, Plan, Round
from stranger_styles import STYLES, work

from collector.alarm_events import AlarmCleared, AlarmFolded
from collector.conclusions import MarkContradicted, PhaseBegan, PhaseEnded, Source, WeighingKind
from collector.phases import Edge, Phase, PhaseName
from collector.recipes import Recipe

UNTARED = STYLES["nothing tared"]


def began(script: Script) -> list[tuple[PhaseName, Source]]:
    return [(e.phase, e.source) for e in script.events if isinstance(e, PhaseBegan)]


def ended(script: Script, phase: Phase) -> PhaseEnded:
    """The last end of a phase."""
    ends = [e for e in script.events if isinstance(e, PhaseEnded) and e.phase is phase]
    return ends[-1]


def outcomes(script: Script) -> list[str]:
    return [event.outcome for event in script.events if isinstance(event, AlarmCleared)]


def blended(recipe: Recipe = AMBER, vessels: int = 1) -> tuple[Script, Round]:
    """A lot whose pitcher is drawn and scented and stands on the scale."""
    script = Script()
    script.open(recipe, vessels)
    script.hold(3)
    now = Round(script, Plan(recipe=recipe, vessels=vessels))
    script.celsius[PITCHER] = 82.0
    script.hold(2)
    draw_untared(now)
    scent_on_top(now)
    return script, now


def pour(script: Script, now: Round) -> None:
    script.celsius[PITCHER] = 60.0
    script.hold(3)
    leave(now)
    fill_untared(now, 1)


def test_a_lot_without_fault_goes_through_its_phases_in_order() -> None:
    script = Script()
    work(script, UNTARED, Plan())
    assert began(script) == [
        (Phase.DRAW_WAX, Source.SCALE),
        (Phase.ADD_FRAGRANCE, Source.SCALE),
        (Phase.STIR, Source.MARK),
        (Phase.POUR, Source.SCALE),
        (Phase.SET, Source.SCALE),
    ]


def test_a_marked_stir_lasts_from_mark_to_mark() -> None:
    script, _now = blended()
    script.mark(Phase.STIR)
    script.hold(121)
    script.mark(Phase.STIR, Edge.END)
    assert ended(script, Phase.STIR).duration_us == pytest.approx(121_000_000, abs=400_000)
    assert not script.found()


def test_a_stir_without_a_mark_is_the_gap_before_the_pour() -> None:
    script = Script()
    work(script, UNTARED, Plan(marks=False))
    assert (Phase.STIR, Source.GAP) in began(script)
    assert not script.found()


def test_a_stir_cut_short_clears_when_it_is_stirred_on() -> None:
    script, now = blended()
    for _ in range(2):
        script.mark(Phase.STIR)
        script.hold(61)
        script.mark(Phase.STIR, Edge.END)
    assert script.found() == {("stir-duration", 1, None): 1}
    assert outcomes(script) == ["stirred on"]
    pour(script, now)
    assert script.found() == {("stir-duration", 1, None): 1}


def test_an_end_mark_alone_is_a_stir_since_the_fragrance() -> None:
    script, now = blended()
    script.hold(121)
    script.mark(Phase.STIR, Edge.END)
    pour(script, now)
    assert not script.found()


def test_a_stir_before_the_fragrance_is_out_of_order_and_counts_for_nothing() -> None:
    script = Script()
    script.open(AMBER, 1)
    script.hold(3)
    now = Round(script, Plan(vessels=1))
    draw_untared(now)
    script.mark(Phase.STIR)
    script.hold(5)
    assert script.found() == {("phase-order", 1, None): 1}
    script.hold(115)
    scent_on_top(now)
    assert outcomes(script) == ["done after all"]
    script.mark(Phase.STIR, Edge.END)
    assert ended(script, Phase.STIR).duration_us < 20_000_000
    assert script.found()["stir-duration", 1, None] == 1


def test_a_stir_that_ends_before_the_fragrance_is_not_judged_by_its_length() -> None:
    script = Script()
    script.open(AMBER, 1)
    script.hold(3)
    draw_untared(Round(script, Plan(vessels=1)))
    script.mark(Phase.STIR)
    script.hold(5)
    script.mark(Phase.STIR, Edge.END)
    assert script.found() == {("phase-order", 1, None): 1}


def test_fragrance_added_while_stirring_restarts_the_stir() -> None:
    script = Script()
    script.open(AMBER, 1)
    script.hold(3)
    now = Round(script, Plan(vessels=1))
    draw_untared(now)
    script.mark(Phase.STIR)
    script.hold(5)
    scent_on_top(now)
    script.hold(125)
    script.mark(Phase.STIR, Edge.END)
    assert script.found() == {("phase-order", 1, None): 1}


def test_a_lot_closed_before_anything_happened_lacks_every_phase_at_the_bench() -> None:
    script = Script()
    script.open(AMBER, 2)
    script.hold(3)
    script.close()
    skipped = [alarm.phase for alarm in script.deviations()]
    assert skipped == [Phase.DRAW_WAX, Phase.ADD_FRAGRANCE, Phase.POUR]  # no stir without fragrance


def test_a_first_sign_is_folded_into_the_phase_that_was_skipped() -> None:
    script = Script()
    script.open(AMBER, 1)
    script.hold(3)
    now = Round(script, Plan(vessels=1, skips_fragrance=True))
    draw_untared(now)
    script.mark(Phase.STIR)
    script.hold(125)
    script.mark(Phase.STIR, Edge.END)
    pour(script, now)
    assert script.found() == {("skipped-phase", 1, None): 1}
    assert [event for event in script.events if isinstance(event, AlarmFolded)]


def test_wax_that_was_warmed_clears_the_fragrance_that_went_in_cool() -> None:
    script = Script()
    script.open(AMBER, 1)
    script.celsius[PITCHER] = 75.0
    script.hold(3)
    now = Round(script, Plan(vessels=1))
    draw_untared(now)
    scent_on_top(now)
    script.celsius[PITCHER] = 81.0
    script.hold(3)
    assert outcomes(script) == ["warmed to 81.0 °C"]


def test_a_recipe_without_a_stir_expects_none() -> None:
    script, now = blended(msgspec.structs.replace(AMBER, stir_at_least_s=None))
    pour(script, now)
    assert not script.found()


def test_preparing_is_expected_only_where_the_recipe_lists_it() -> None:
    script, _now = blended(msgspec.structs.replace(AMBER, prepare=True))
    script.mark(Phase.STIR)
    assert [alarm.rule for alarm in script.deviations()] == ["phase-order"]
    script.mark(Phase.PREPARE)
    assert outcomes(script) == ["done after all"]


def test_setting_begins_where_the_last_vessel_came_to_rest() -> None:
    script = Script()
    work(script, UNTARED, Plan(vessels=1))
    (setting,) = [e for e in script.events if isinstance(e, PhaseBegan) and e.phase == Phase.SET]
    assert abs(setting.began_us - script.evidence_us["fill", 1, 1]) <= 400_000


def test_the_pour_of_a_pitcher_ends_with_its_last_vessel() -> None:
    script = Script()
    work(script, UNTARED, Plan(vessels=12))
    pours = {e.pitcher: e for e in script.events if isinstance(e, PhaseEnded) and e.phase == "pour"}
    for pitcher, vessel in ((1, 6), (2, 12)):
        rested_us = script.evidence_us["fill", pitcher, vessel]
        assert abs(pours[pitcher].ended_us - rested_us) <= 400_000


def test_a_key_pressed_by_mistake_while_wax_is_drawn_changes_nothing() -> None:
    script = Script()
    script.celsius[PITCHER] = 82.0
    script.open(AMBER, 2)
    script.hold(3)
    script.add(200.0, 8)
    script.mark(Phase.ADD_FRAGRANCE)
    script.add(213.0, 8)
    script.hold(4)
    assert script.weighings()[WeighingKind.WAX, 1, None] == pytest.approx(413.0, abs=0.2)
    assert not script.deviations()


def test_a_vessel_filled_light_says_how_many_the_short_mix_gives() -> None:
    # 4 vessels: 886 g planned; drawn 150 g short 670.370 g, with 53.630 g of fragrance a mix of
    # 724 g: less 6 g of residue 718 g, three vessels of at least 218 g
    script = Script()
    script.open(AMBER, 4)
    script.celsius[PITCHER] = 82.5
    script.hold(3)
    now = Round(script, Plan(vessels=4, wax_off_g=-150.0, fill_off_g={1: -10.0}))
    draw_untared(now)
    scent_on_top(now)
    script.mark(Phase.STIR)
    script.hold(122)
    script.mark(Phase.STIR, Edge.END)
    pour(script, now)
    advice = {alarm.rule: alarm.advice for alarm in script.deviations()}
    assert "As it is, this pitcher fills 3 of its 4 vessels." in advice["wax-grams"]
    assert "As it is, this pitcher fills 3 of its 4 vessels." in advice["fill-grams"]


def test_a_mark_that_the_scale_contradicts_is_kept_and_said_so() -> None:
    script = Script()
    script.open(AMBER, 1)
    script.hold(3)
    script.add(90.0, 6.0)  # not half of the wax
    script.mark(Phase.ADD_FRAGRANCE)
    (said,) = (event for event in script.events if isinstance(event, MarkContradicted))
    assert (said.phase, said.marked_us) == (Phase.ADD_FRAGRANCE, said.at_us)
    assert said.why == "the wax was still being drawn"


def test_a_mark_that_agrees_with_the_scale_is_not_contradicted() -> None:
    script, _now = blended()
    script.mark(Phase.STIR)
    assert not [event for event in script.events if isinstance(event, MarkContradicted)]
