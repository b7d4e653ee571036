"""What the person at the bench wants to see: where the lot stands and the one next thing to do."""

from collections.abc import Mapping
from enum import StrEnum

import msgspec

from collector import rules
from collector.advice import WaxNow, no_forecast, wait
from collector.bench import Bench
from collector.conclusions import Source, WeighingKind
from collector.corrections import mixed_of, what_is_possible
from collector.display import percent
from collector.expectations import Stage
from collector.forecast import Span
from collector.lot_run import LotRun
from collector.phases import Edge, Phase, PhaseName
from collector.readings import Channel, Role
from collector.recipes import LoadOf, Window
from collector.scene import Load
from collector.windows import (
    Purpose,
    TemperatureTask,
    chilling,
    closing,
    foreseen,
    opening,
    pouring_late,
    reason,
)

US_PER_S = 1_000_000


class StepState(StrEnum):
    """Where a phase stands in the strip of steps."""

    DONE = "done"
    NOW = "now"
    NEXT = "next"
    AHEAD = "ahead"
    SKIPPED = "skipped"


class Step(msgspec.Struct, frozen=True):
    """One phase of the strip."""

    phase: PhaseName
    state: StepState


class NextMark(msgspec.Struct, frozen=True):
    """What the one big button does now."""

    phase: PhaseName
    edge: Edge


class Undoable(msgspec.Struct, frozen=True):
    """The mark that can be taken back now: made at `at_us`, until `until_us`."""

    phase: PhaseName
    edge: Edge
    at_us: int
    until_us: int


class ScaleTask(msgspec.Struct, frozen=True):
    """What is weighed now; shown is the display's value less `base_mg`. 0.001 g."""

    channel: str
    what: str | None
    base_mg: int | None
    target_mg: int | None
    tolerance_mg: int | None


class BenchStatus(msgspec.Struct, frozen=True, kw_only=True):
    """The bench as a screen shows it. Times are UTC microseconds."""

    bench: str
    lot: str | None = None
    recipe: str | None = None
    vessels: int | None = None
    phase: PhaseName | None = None
    phase_began_us: int | None = None
    phase_until_us: int | None = None
    pitcher: int | None = None
    pitchers: int | None = None
    steps: tuple[Step, ...] = ()
    next_mark: NextMark | None = None
    undo: Undoable | None = None
    do: str
    detail: str
    temperature: TemperatureTask | None = None
    scale: ScaleTask | None = None


class Task(msgspec.Struct, frozen=True):
    """The next thing to do, and what helps to do it."""

    do: str
    detail: str = ""


def status_of(bench: Bench) -> BenchStatus:
    """Return where a bench stands at the time of its latest input."""
    channels = {channel.role: channel for channel in bench.channels}
    scale = channels.get(Role.SCALE)
    run = bench.run
    if run is None:
        return BenchStatus(
            bench=bench.name,
            do="Open a lot",
            detail="Choose the recipe and the number of vessels.",
            temperature=_temperature(channels, None, None),
            scale=ScaleTask(scale.name, None, None, None, None) if scale is not None else None,
        )
    task = next_task(run, bench.now_us)
    current = run.procedure.current
    return BenchStatus(
        bench=bench.name,
        lot=run.lot,
        recipe=run.recipe.name,
        vessels=run.vessels,
        phase=current,
        phase_began_us=run.procedure.runs[current].began_us if current is not None else None,
        phase_until_us=_until(run),
        pitcher=run.procedure.pitcher,
        pitchers=len(run.sheet.pitchers),
        steps=_steps(run),
        next_mark=_next_mark(run, bench.now_us),
        undo=_undoable(bench),
        do=task.do,
        detail=task.detail,
        temperature=foreseen(run, _temperature(channels, *_window(run)), bench.now_us),
        scale=_scale_task(run, scale.name, bench.now_us) if scale is not None else None,
    )


def next_task(run: LotRun, now_us: int) -> Task:
    """Return the one thing to do next in a lot."""
    wax = run.heat.wax_now(now_us)
    if run.progress.stage is Stage.WAX:
        return _draw(run)
    if run.progress.stage is Stage.FRAGRANCE:
        return _scent(run, wax, now_us)
    if run.progress.stage is Stage.POUR:
        return _go_back(run, wax) or _cool_again(run, wax) or _fill(run, wax)
    return _put_right(run, wax) or _stir(run, now_us) or _wait_to_pour(run, wax)


def _draw(run: LotRun) -> Task:
    expected = run.progress.expected(WeighingKind.WAX)
    many = len(run.sheet.pitchers)
    which = f"pitcher {run.progress.pitcher} of {many}" if many > 1 else "the pitcher"
    amount = run.display.grams(expected.target_mg)
    if run.procedure.pitcher == run.progress.pitcher and Phase.DRAW_WAX in run.procedure.runs:
        return Task(f"Draw wax up to {amount}", f"Into {which}.")
    detail = "Put the empty pitcher on the scale and tare it first."
    pot = run.pot.while_at(run.progress.pitcher)
    if pot is not None and not pot.holds(expected.target_mg):
        detail = f"The pot holds only {run.display.grams(pot.left_mg)}: melt more first."
    return Task(f"Draw {amount} of wax into {which}", detail)


def _put_right(run: LotRun, wax: WaxNow) -> Task | None:
    """Return what would put the fragrance right; None once a person has seen the alarm."""
    window = run.recipe.fragrance.add_between
    cool = wax.mdegc is not None and window is not None and wax.mdegc < window.low_mdegc
    if cool and window is not None and _fragrance_is_wrong(run):
        return Task(
            f"Warm the wax to {run.display.degrees(window.low_mdegc)}",
            "The fragrance is not right yet, see the alarm. Acknowledge it to go on as it is.",
        )
    if not run.unanswered(rules.FRAGRANCE_GRAMS):
        return None
    return _correct(run, wax, "See the alarm. Acknowledge it to go on as it is.")


def _correct(run: LotRun, wax: WaxNow, detail: str) -> Task:
    """Return what makes the load right again, within what pitcher and pot hold."""
    progress, grams = run.progress, run.display.grams
    sheet = run.sheet.pitchers[progress.pitcher - 1]
    mixed = mixed_of(run.recipe, sheet, progress.drawn_mg, progress.fragrance_mg or 0)
    pot = run.pot.while_at(progress.pitcher)
    possible = what_is_possible(run.recipe, mixed, wax.mdegc, pot)
    if possible.add_fragrance_mg:
        name = run.recipe.fragrance.name
        return Task(f"Add {grams(possible.add_fragrance_mg)} of {name}", detail)
    if possible.fits and possible.wax_left:
        return Task(f"Add {grams(possible.add_wax_mg)} of wax", detail)
    off = possible.pour_off
    if off is None:
        return Task("Too much fragrance: decide what becomes of it", detail)
    then = f"Then add {grams(off.wax_mg)} of wax. {detail}"
    return Task(f"Pour {grams(off.mix_mg)} of the mix off", then)


def _fragrance_is_wrong(run: LotRun) -> bool:
    return run.unanswered(rules.FRAGRANCE_TEMPERATURE) or run.unanswered(rules.FRAGRANCE_GRAMS)


def _go_back(run: LotRun, wax: WaxNow) -> Task | None:
    """Return what was left out before this pour; None once a person has seen the alarm."""
    if run.progress.filled >= run.vessels:
        return None
    detail = "The pour began without it. Acknowledge the alarm to go on as it is."
    window = run.recipe.fragrance.add_between
    if run.unanswered(rules.SKIPPED_PHASE, Phase.ADD_FRAGRANCE):
        if wax.mdegc is not None and window is not None and wax.mdegc < window.low_mdegc:
            return Task(
                f"Stop, and warm the wax to {run.display.degrees(window.low_mdegc)}", detail
            )
        target_mg = run.progress.expected(WeighingKind.FRAGRANCE).target_mg
        amount = run.display.grams(target_mg)
        return Task(f"Stop, and weigh in {amount} of {run.recipe.fragrance.name}", detail)
    if run.unanswered(rules.SKIPPED_PHASE, Phase.STIR):
        return Task(f"Stop pouring and stir {run.recipe.stir_at_least_s} s", detail)
    return None


def _cool_again(run: LotRun, wax: WaxNow) -> Task | None:
    """Return what to do about a pour outside its window; None once a person has seen it."""
    window = run.recipe.pour_between
    if window is None or not run.unanswered(rules.POUR_TEMPERATURE):
        return None
    return _wait_for(run, wax, window)


def _scent(run: LotRun, wax: WaxNow, now_us: int) -> Task:
    fragrance = run.recipe.fragrance
    expected = run.progress.expected(WeighingKind.FRAGRANCE)
    amount = f"{run.display.grams(expected.target_mg)} of {fragrance.name}"
    basis = "wax" if fragrance.load_of is LoadOf.WAX else "total"
    drawn = run.display.grams(run.progress.wax_mg or 0)
    why = f"{percent(fragrance.load_ppm)} of the {basis}, for the {drawn} drawn."
    if fragrance.add_between is None:
        return Task(f"Weigh {amount} into the pitcher", why)
    if wax.mdegc is None:
        return _measure(run, fragrance.add_between, f"then weigh in {amount}")
    wait = _wait_for(run, wax, fragrance.add_between)
    if wait is not None:
        return Task(wait.do, f"{wait.detail} Then weigh in {amount}.".strip())
    then = closing(wax, fragrance.add_between) + chilling(run, wax, expected.target_mg, now_us)
    return Task(f"Weigh {amount} into the pitcher", why + then)


def _stir(run: LotRun, now_us: int) -> Task | None:
    at_least_s = run.recipe.stir_at_least_s
    if at_least_s is None:
        return None
    stir = run.procedure.runs.get(Phase.STIR)
    if stir is None:
        time = f" for {at_least_s} s" if at_least_s else ""
        return Task(f"Stir{time}", "Gently, down to the wall and the bottom.")
    left_s = at_least_s - stir.lasted_us(now_us) // US_PER_S
    if stir.ended_us is None:
        if left_s > 0:
            return Task("Keep stirring", f"{at_least_s} s in all.")
        return Task("Stirred long enough", "Set the stirrer aside.")
    # A stir that was marked may have gone on unmarked, or a person lets it be as it is.
    settled = stir.source is Source.MARK and not run.unanswered(rules.STIR_DURATION)
    if left_s > 1 and not settled:
        return Task(f"Stir {left_s} s more", "The stir was cut short.")
    return None


def _wait_to_pour(run: LotRun, wax: WaxNow) -> Task:
    fill = f"Fill vessel {run.progress.filled + 1} of {run.vessels}"
    amount = run.display.grams(run.recipe.vessel.fill_mg)
    if run.recipe.pour_between is None:
        return Task(fill, f"{amount} each.")
    if wax.mdegc is None:
        return _measure(run, run.recipe.pour_between, f"then pour, {amount} each")
    wait = _wait_for(run, wax, run.recipe.pour_between)
    if wait is not None:
        return wait
    return Task(fill, f"{amount} each.{closing(wax, run.recipe.pour_between)}")


def _fill(run: LotRun, wax: WaxNow) -> Task:
    filled = run.progress.filled
    if filled >= run.vessels:
        return Task("Close the lot", f"All {run.vessels} vessels are filled.")
    pitcher = run.progress.pitcher
    if run.progress.more_pitchers and filled >= run.progress.vessels_due(pitcher):
        many = len(run.sheet.pitchers)
        return Task("Take the vessel off", f"Then draw wax for pitcher {pitcher + 1} of {many}.")
    amount = run.display.grams(run.recipe.vessel.fill_mg)
    return Task(
        f"Fill vessel {filled + 1} of {run.vessels}", f"{amount} each.{pouring_late(run, wax)}"
    )


def _measure(run: LotRun, window: Window, then: str) -> Task:
    """Return what to do where no thermometer tells the wax's temperature."""
    span = run.display.span(window.low_mdegc, window.high_mdegc)
    return Task(
        "Measure the wax by hand",
        f"No thermometer tells it now. Wait for {span}, {then}.",
    )


def _wait_for(run: LotRun, wax: WaxNow, window: Window) -> Task | None:
    """Return what to do until the wax is in a window; None where it is."""
    if wax.mdegc is None or window.low_mdegc <= wax.mdegc <= window.high_mdegc:
        return None
    if wax.mdegc < window.low_mdegc:
        opens = opening(wax, window)
        soon = f" In {wait(opens)}." if opens is not None else ""
        detail = f"Gently, and stay.{soon}"
        return Task(f"Warm the wax to {run.display.degrees(window.low_mdegc)}", detail)
    task = f"Let it cool to {run.display.degrees(window.high_mdegc)}"
    span = wax.until(window.high_mdegc)
    if isinstance(span, Span):
        return Task(task, f"In {wait(span)}." if span.likely_us else "")
    why, setting = reason(run, wax, span)
    return Task(task, no_forecast(why, setting, run.display) if wax.outlook else "")


def _window(run: LotRun) -> tuple[Purpose, Window | None]:
    blending = run.progress.stage is Stage.BLEND
    if run.progress.stage <= Stage.FRAGRANCE or (blending and _fragrance_is_wrong(run)):
        return "add", run.recipe.fragrance.add_between
    return "pour", run.recipe.pour_between


def _temperature(
    channels: Mapping[Role, Channel], what: Purpose | None, window: Window | None
) -> TemperatureTask | None:
    channel = channels.get(Role.PITCHER) or channels.get(Role.POT)
    return TemperatureTask(channel.name, what, window) if channel is not None else None


def _scale_task(run: LotRun, channel: str, now_us: int) -> ScaleTask:
    kind = run.progress.next_kind
    filled = run.progress.filled
    standing = run.recognizer.load is Load.PITCHER
    waiting = run.progress.stage is Stage.BLEND and (standing or _too_hot_to_pour(run, now_us))
    if waiting or (kind is WeighingKind.FILL and filled >= run.vessels):
        return ScaleTask(channel, None, None, None, None)
    expected = run.progress.expected(kind)
    what = f"vessel {filled + 1} of {run.vessels}" if kind is WeighingKind.FILL else kind.value
    base = run.recognizer.base_mg
    return ScaleTask(channel, what, base, expected.target_mg, expected.tolerance_mg)


def _until(run: LotRun) -> int | None:
    stir = run.procedure.runs.get(Phase.STIR)
    if stir is None or stir.ended_us is not None or run.recipe.stir_at_least_s is None:
        return None
    return stir.resumed_us + run.recipe.stir_at_least_s * US_PER_S - stir.duration_us


def _next_mark(run: LotRun, now_us: int) -> NextMark | None:
    own = (phase.name for phase in run.recipe.own_phases)
    if run.procedure.current in (Phase.STIR, Phase.PREPARE, *own):
        return NextMark(run.procedure.current, Edge.END)
    upcoming = run.procedure.upcoming
    if run.progress.stage is Stage.BLEND and run.unanswered(rules.STIR_DURATION):
        return NextMark(Phase.STIR, Edge.BEGIN)  # it was cut short: take it up again
    if run.unanswered(rules.SKIPPED_PHASE, Phase.STIR) and run.progress.filled < run.vessels:
        return NextMark(Phase.STIR, Edge.BEGIN)
    if upcoming is None or not _timely(run, upcoming, now_us):
        return None
    return NextMark(upcoming, Edge.BEGIN)


def _undoable(bench: Bench) -> Undoable | None:
    kept = bench.undoable
    if kept is None:
        return None
    return Undoable(kept.mark.phase, kept.mark.edge, kept.mark.at_us, kept.until_us)


def _timely(run: LotRun, phase: PhaseName, now_us: int) -> bool:
    """Tell whether a mark makes sense now: not while wax is drawn, not while it is too hot."""
    if phase == Phase.ADD_FRAGRANCE:
        return run.progress.stage is not Stage.WAX
    return phase != Phase.POUR or not _too_hot_to_pour(run, now_us)


def _too_hot_to_pour(run: LotRun, now_us: int) -> bool:
    wax, window = run.heat.wax_mdegc(now_us), run.recipe.pour_between
    return wax is not None and window is not None and wax > window.high_mdegc


def _steps(run: LotRun) -> tuple[Step, ...]:
    procedure = run.procedure
    reached = max((procedure.order.index(phase) for phase in procedure.runs), default=-1)
    steps = []
    for phase in (p for p in run.recipe.phases if p in procedure.at_the_bench):
        if phase == procedure.current:
            state = StepState.NOW
        elif phase in procedure.runs:
            state = StepState.DONE
        elif phase == procedure.upcoming:
            state = StepState.NEXT
        else:
            state = StepState.AHEAD if procedure.order.index(phase) > reached else StepState.SKIPPED
        steps.append(Step(phase, state))
    return tuple(steps)
