"""Ways in which people work at a scale: each a choice of moves, and a lot worked in it."""

from collections.abc import Callable
from dataclasses import dataclass

from feed_script import PITCHER, Script
from stranger_moves import (
    draw_elsewhere,
    draw_elsewhere_tared,
    draw_out_of_sight,
    draw_tared,
    draw_untared,
    fill_bumped,
    fill_in_two_goes,
    fill_lifted_and_put_back,
    fill_out_of_sight,
    fill_swapped,
    fill_tared,
    fill_tared_on_a_minus,
    fill_under_a_hand,
    fill_untared,
    leave,
    leave_and_zero,
    leave_to_zero,
    scent_after_tare,
    scent_after_the_hot_plate,
    scent_from_a_beaker,
    scent_on_top,
)
from stranger_round import Plan, Round

from collector.batch_sheet import batch_sheet
from collector.phases import Edge, Phase

Move = Callable[[Round], None]
Fill = Callable[[Round, int], None]


@dataclass(frozen=True)
class Style:
    """How somebody draws, scents, takes the pitcher away, and fills."""

    draw: Move
    scent: Move
    leave: Move
    fill: Fill
    stirs_on_scale: bool = False


STYLES = {
    "no container in sight": Style(
        draw_out_of_sight, scent_on_top, leave, fill_out_of_sight, stirs_on_scale=True
    ),
    "no container in sight, stirred away": Style(
        draw_out_of_sight, scent_on_top, leave, fill_out_of_sight
    ),
    "all tared": Style(draw_tared, scent_on_top, leave_and_zero, fill_tared),
    "all tared, pan never zeroed": Style(draw_tared, scent_on_top, leave, fill_tared_on_a_minus),
    "nothing tared": Style(draw_untared, scent_on_top, leave, fill_untared),
    "pitcher tared, vessels not": Style(draw_tared, scent_on_top, leave_and_zero, fill_untared),
    "tared before the fragrance": Style(draw_tared, scent_after_tare, leave_and_zero, fill_tared),
    "tared only before the fragrance": Style(
        draw_untared, scent_after_tare, leave_and_zero, fill_untared
    ),
    "vessels swapped": Style(draw_untared, scent_on_top, leave, fill_swapped),
    "filled in two goes": Style(draw_untared, scent_on_top, leave, fill_in_two_goes),
    "vessels put back": Style(draw_untared, scent_on_top, leave, fill_lifted_and_put_back),
    "vessels set down hard": Style(draw_tared, scent_on_top, leave_and_zero, fill_bumped),
    "a hand on the scale": Style(draw_tared, scent_on_top, leave_and_zero, fill_under_a_hand),
    "warmed on a hot plate": Style(draw_untared, scent_after_the_hot_plate, leave, fill_untared),
    "tared, warmed on a hot plate": Style(
        draw_tared, scent_after_the_hot_plate, leave_and_zero, fill_tared
    ),
    "no container in sight, tared before the fragrance": Style(
        draw_out_of_sight, scent_after_tare, leave_to_zero, fill_out_of_sight
    ),
    "no container in sight but the vessels": Style(
        draw_out_of_sight, scent_on_top, leave, fill_untared
    ),
    "drawn elsewhere": Style(draw_elsewhere, scent_on_top, leave, fill_untared),
    "drawn elsewhere, tared": Style(draw_elsewhere_tared, scent_on_top, leave_and_zero, fill_tared),
}
"""Each way of working by a name."""


FROM_A_BEAKER = Style(draw_untared, scent_from_a_beaker, leave, fill_untared)


def work(script: Script, style: Style, plan: Plan) -> Round:
    """Work a lot from its opening to its close; return what went in."""
    now = Round(script, plan)
    script.hold(3)
    script.open(plan.recipe, plan.vessels)
    script.hold(3)
    vessel = filled = 0
    for sheet in batch_sheet(plan.recipe, plan.vessels).pitchers:
        now.pitcher = sheet.number
        script.celsius[PITCHER] = plan.add_c
        script.hold(3)
        style.draw(now)
        _blend(now, style)
        for _ in range(sheet.vessels):
            vessel += 1
            if vessel not in plan.left_out:
                filled += 1  # vessels are numbered as they are filled
                style.fill(now, filled)
        if style.fill is fill_swapped and plan.lifts_last:
            now.to(now.away_g)
    script.hold(1)
    script.close()
    return now


def _blend(now: Round, style: Style) -> None:
    plan, script = now.plan, now.script
    if plan.marks_early:
        script.note("early", now.pitcher)
        script.mark(Phase.STIR)
        script.hold(5)
        script.mark(Phase.STIR, Edge.END)
    if not plan.skips_fragrance:
        style.scent(now)
    if not style.stirs_on_scale:
        style.leave(now)
    if plan.stir_s and plan.marks:
        script.mark(Phase.STIR)
    script.hold(plan.stir_s)
    script.note("stirred", now.pitcher)
    if plan.stir_s and plan.marks:
        script.mark(Phase.STIR, Edge.END)
    if style.stirs_on_scale:
        style.leave(now)
    script.celsius[PITCHER] = plan.pour_c
    script.hold(3)
