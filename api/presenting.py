"""What the collector knows, in the shapes that the outside sees."""

import msgspec

from api import alarm_shapes, bench_shapes, instrument_shapes, lot_shapes, shapes, sheet_shapes
from api.instants import instant, instant_or_none
from collector.alarm_events import Unit
from collector.alarms import Alarm
from collector.batch_sheet import BatchSheet, batch_sheet
from collector.conclusions import Evidence, PhaseBegan, PhaseEnded, WeighingAccepted
from collector.forecast import Span
from collector.guidance import BenchStatus, Task, Undoable
from collector.instrument_state import InstrumentState
from collector.loads import load_limits
from collector.lot_events import LotJudged
from collector.lot_record import LotRecord, PhaseRun
from collector.readings import ROLE_QUANTITY, Channel, Reading
from collector.recipes import Recipe, Window
from collector.service_events import ClockFoundOff
from collector.units import UNIT_OF, from_fixed
from collector.windows import TemperatureTask

US_PER_S = 1_000_000
QUALITY: tuple[shapes.QualityName, ...] = ("good", "in motion", "suspect", "bad")


def thousandths(value: int) -> float:
    """Return an integer of 0.001 as a plain number."""
    return value / 1000


def thousandths_or_none(value: int | None) -> float | None:
    """Return an integer of 0.001 as a plain number, None as None."""
    return None if value is None else thousandths(value)


def plain(unit: Unit, value: int) -> float:
    """Return a number of an alarm as a plain one: whole for `count`, else of 0.001."""
    return float(value) if unit == "count" else thousandths(value)


def alarm(alarm: Alarm, now_us: int) -> alarm_shapes.AlarmShown:
    """Show an alarm as it stands at a time."""
    raised = alarm.raised
    plain = float if raised.unit == "count" else thousandths
    low, high = (None if b is None else plain(b) for b in (raised.limit.low, raised.limit.high))
    return alarm_shapes.AlarmShown(
        id=raised.alarm,
        lot=raised.lot,
        bench=raised.bench,
        rule=raised.rule,
        priority=raised.priority,
        phase=raised.phase,
        pitcher=raised.pitcher,
        vessel=raised.vessel,
        subject=raised.subject,
        limit=shapes.Bounds(low=low, high=high),
        measured=None if raised.measured is None else plain(raised.measured),
        unit=raised.unit,
        message=raised.message,
        advice=raised.advice,
        raised_at=instant(raised.at_us),
        cleared_at=instant_or_none(alarm.cleared_us),
        outcome=alarm.outcome,
        acknowledged_at=instant_or_none(alarm.acknowledged_us),
        note=alarm.note,
        latched=raised.latched,
        reset_at=instant_or_none(alarm.reset_us),
        shelved_until=instant_or_none(alarm.shelved_until_us),
        shelved_reason=alarm.shelved_why,
        suppressed_by=alarm.suppressed_by,
        out_of_service=alarm.out_of_service,
        folded_into=alarm.folded_into,
        state=alarm.shown(now_us).value,
    )


def weighing(event: WeighingAccepted) -> lot_shapes.Weighing:
    """Show a weighing."""
    return lot_shapes.Weighing(
        kind=event.kind.value,
        pitcher=event.pitcher,
        vessel=event.vessel,
        grams=thousandths(event.mass_mg),
        target=thousandths(event.target_mg),
        tolerance=thousandths(event.tolerance_mg),
        at=instant(event.evidence.to_us),
        evidence=_evidence(event.evidence),
    )


def _evidence(evidence: Evidence) -> lot_shapes.Evidence:
    return lot_shapes.Evidence(
        channel=evidence.channel,
        from_=instant(evidence.from_us),
        to=instant(evidence.to_us),
        readings=evidence.readings,
    )


def phase(run: PhaseRun | PhaseBegan | PhaseEnded) -> lot_shapes.PhaseShown:
    """Show a phase as it went, or as an event tells it."""
    ended_us = None if isinstance(run, PhaseBegan) else run.ended_us
    duration_us = None if isinstance(run, PhaseBegan) else run.duration_us
    return lot_shapes.PhaseShown(
        phase=run.phase,
        pitcher=run.pitcher,
        began=instant(run.began_us),
        ended=instant_or_none(ended_us),
        seconds=None if duration_us is None else round(duration_us / US_PER_S, 1),
        evidence=run.source,
        rests_on=None if run.rests_on is None else _evidence(run.rests_on),
    )


def lot_entry(record: LotRecord) -> lot_shapes.LotEntry:
    """Show a lot in a line."""
    opened = record.opened
    return lot_shapes.LotEntry(
        id=opened.lot or "",
        bench=opened.bench or "",
        recipe=opened.recipe.name,
        vessels=opened.vessels,
        state=record.state.value,
        opened_at=instant(opened.at_us),
        closed_at=instant_or_none(record.closed_us),
        deviations=len(record.deviations),
        fills=record.fills,
        kept=record.kept,
    )


def lot(
    record: LotRecord,
    document: dict[str, object],
    task: Task | None,
    now_us: int,
    pot: sheet_shapes.PotShown | None = None,
) -> lot_shapes.LotShown:
    """Show everything about a lot; `pot` where it is on a pour day."""
    opened = record.opened
    advice = None if task is None else lot_shapes.Advice(do=task.do, detail=task.detail)
    return lot_shapes.LotShown(
        id=opened.lot or "",
        bench=opened.bench or "",
        state=record.state.value,
        vessels=opened.vessels,
        opened_at=instant(opened.at_us),
        closed_at=instant_or_none(record.closed_us),
        recipe=_recipe_of_lot(opened.recipe, document),
        channels=[lot_shapes.ChannelShown(channel=c.name, role=c.role) for c in opened.channels],
        phases=[phase(run) for run in record.phases],
        weighings=[weighing(event) for event in record.weighings],
        marks=[
            lot_shapes.MarkShown(
                phase=m.phase,
                edge=m.edge,
                at=instant(m.at_us),
                contradicted=record.contradiction_of(m),
                withdrawn_at=instant_or_none(record.withdrawn_us(m)),
            )
            for m in record.marks
        ],
        deviations=[alarm(deviation, now_us) for deviation in record.deviations],
        gaps=[
            lot_shapes.Gap(from_=instant(from_us), to=instant(to_us))
            for from_us, to_us in record.gaps_us
        ],
        clock_off=[clock_off(found) for found in record.clock],
        late=[
            lot_shapes.LateShown(
                from_=instant(run.from_us), to=instant(run.to_us), readings=run.count
            )
            for run in record.late
        ],
        verdict=None if record.verdict is None else verdict(record.verdict),
        kept=record.kept,
        batch_sheet=sheet(opened.recipe, batch_sheet(opened.recipe, opened.vessels), pot),
        advice=advice,
    )


def clock_off(found: ClockFoundOff) -> lot_shapes.ClockOff:
    """Show by how much a lot's times are wrong."""
    seconds = None if found.by_us is None else found.by_us / 1_000_000
    return lot_shapes.ClockOff(at=instant(found.at_us), seconds=seconds)


def verdict(judged: LotJudged) -> lot_shapes.Verdict:
    """Show how a lot came out."""
    return lot_shapes.Verdict(good=judged.good, note=judged.note, at=instant(judged.at_us))


def _recipe_of_lot(recipe: Recipe, document: dict[str, object]) -> lot_shapes.RecipeOfLot:
    return lot_shapes.RecipeOfLot(
        name=recipe.name,
        phases=list(recipe.phases),
        windows=lot_shapes.Windows(
            add=window(recipe.fragrance.add_between), pour=window(recipe.pour_between)
        ),
        never_above=thousandths_or_none(recipe.wax.never_above_mdegc),
        stir_seconds=recipe.stir_at_least_s,
        document=document,
    )


def window(window: Window | None) -> lot_shapes.WindowShown | None:
    """Show a temperature window."""
    if window is None:
        return None
    low, high = thousandths(window.low_mdegc), thousandths(window.high_mdegc)
    return lot_shapes.WindowShown(low=low, high=high)


def sheet(
    recipe: Recipe, computed: BatchSheet, pot: sheet_shapes.PotShown | None = None
) -> sheet_shapes.SheetShown:
    """Show a batch sheet."""
    return sheet_shapes.SheetShown(
        vessels=computed.vessels,
        fill=thousandths(recipe.vessel.fill_mg),
        mix=thousandths(computed.totals.mix_mg),
        wax=thousandths(computed.totals.wax_mg),
        fragrance=thousandths(computed.totals.fragrance_mg),
        load=recipe.fragrance.load_ppm / 10_000,
        load_of=recipe.fragrance.load_of.value,
        volume=thousandths_or_none(recipe.vessel.volume_ul),
        limits=[
            sheet_shapes.LoadLimitShown(
                by=limit.by,
                basis=limit.basis.value,
                most=limit.most_ppm / 10_000,
                load=limit.load_ppm / 10_000,
            )
            for limit in load_limits(recipe.wax, recipe.fragrance)
        ],
        pot=pot,
        pitchers=[
            sheet_shapes.PitcherShown(
                pitcher=pitcher.number,
                vessels=pitcher.vessels,
                mix=thousandths(pitcher.mix_mg),
                wax=thousandths(pitcher.wax_mg),
                fragrance=thousandths(pitcher.fragrance_mg),
            )
            for pitcher in computed.pitchers
        ],
    )


def reading(channel: Channel, reading: Reading) -> dict[str, str | float]:
    """Show a reading on the stream."""
    return {
        "channel": channel.name,
        "instrument": channel.name,
        "bench": channel.bench,
        "role": channel.role.value,
        "value": from_fixed(reading.value, channel.quantity),
        "unit": UNIT_OF[channel.quantity],
        "quality": QUALITY[reading.quality],
        "taken_at": instant(reading.taken_us),
    }


def instrument(
    state: InstrumentState, rejected: dict[str, int]
) -> instrument_shapes.InstrumentShown:
    """Show an instrument as it stands."""
    config = state.instrument
    last = None
    if state.last is not None:
        quantity = ROLE_QUANTITY[config.role]
        last = instrument_shapes.ReadingShown(
            value=from_fixed(state.last.value, quantity),
            unit=UNIT_OF[quantity],
            quality=QUALITY[state.last.quality],
            taken_at=instant(state.last.taken_us),
        )
    return instrument_shapes.InstrumentShown(
        name=config.name,
        bench=config.bench,
        role=config.role,
        kind=config.kind,
        state=state.state.value,
        reason=state.reason,
        remedy=state.remedy,
        rejected=rejected,
        last=last,
    )


def bench(status: BenchStatus, now_us: int) -> bench_shapes.BenchShown:
    """Show where a bench stands."""
    scale = None
    if status.scale is not None:
        scale = bench_shapes.ScaleTask(
            channel=status.scale.channel,
            what=status.scale.what,
            base=thousandths_or_none(status.scale.base_mg),
            target=thousandths_or_none(status.scale.target_mg),
            tolerance=thousandths_or_none(status.scale.tolerance_mg),
        )
    mark = status.next_mark
    return bench_shapes.BenchShown(
        bench=status.bench,
        at=instant(now_us),
        lot=status.lot,
        recipe=status.recipe,
        vessels=status.vessels,
        phase=status.phase,
        phase_began=instant_or_none(status.phase_began_us),
        phase_until=instant_or_none(status.phase_until_us),
        pitcher=status.pitcher,
        pitchers=status.pitchers,
        steps=[bench_shapes.StepShown(phase=s.phase, state=s.state.value) for s in status.steps],
        next_mark=None if mark is None else bench_shapes.NextMark(phase=mark.phase, edge=mark.edge),
        undo=None if status.undo is None else _undo(status.undo),
        do=status.do,
        detail=status.detail,
        temperature=_temperature_task(status.temperature, now_us),
        scale=scale,
    )


def _undo(undo: Undoable) -> bench_shapes.UndoShown:
    return bench_shapes.UndoShown(
        phase=undo.phase,
        edge=undo.edge,
        at=instant(undo.at_us),
        until=instant(undo.until_us),
    )


def _temperature_task(
    task: TemperatureTask | None, now_us: int
) -> bench_shapes.TemperatureTask | None:
    if task is None:
        return None
    window, ahead, trend = task.window, task.ahead, task.trend_mdegc_per_min
    passed_us = now_us - task.forecast_us if task.forecast_us is not None else 0
    return bench_shapes.TemperatureTask(
        channel=task.channel,
        what=task.what,
        low=thousandths(window.low_mdegc) if window is not None else None,
        high=thousandths(window.high_mdegc) if window is not None else None,
        opens_in_s=_span(ahead.opens, passed_us) if ahead is not None else None,
        closes_in_s=_span(ahead.closes, passed_us) if ahead is not None else None,
        trend_degc_per_min=round(trend / 1000, 2) if trend is not None else None,
        why=task.why,
    )


def _span(span: Span | None, passed_us: int) -> bench_shapes.SpanShown | None:
    """Show a span, in whole seconds, as seen `passed_us` after it was worked out."""
    if span is None:
        return None
    left = span.later(max(0, passed_us))
    ends = (left.soonest_us, left.likely_us, left.latest_us)
    soonest, likely, latest = (round(end / US_PER_S) for end in ends)
    return bench_shapes.SpanShown(soonest=soonest, likely=likely, latest=latest)


def document_of(text: str) -> dict[str, object]:
    """Return a recipe's stored document."""
    return msgspec.json.decode(text, type=dict[str, object])
