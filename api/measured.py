"""What was measured of a lot's pitchers, out of the stored readings and the record."""

from collections.abc import Iterator
from fractions import Fraction

from api.instants import instant
from api.measured_shapes import LoadReached, PitcherMeasured, TemperatureThen
from api.presenting import thousandths_or_none
from api.temperatures_then import mdegc_at, pitcher_probe
from collector import rules
from collector.amends import WITHDRAWN
from collector.batch_sheet import batch_sheet
from collector.conclusions import WeighingKind
from collector.loads import load_on
from collector.lot_record import LotRecord, PhaseRun
from collector.phases import Phase, PhaseName
from collector.readings import Channel
from collector.recipes import LoadOf, Window
from collector.workshop import Workshop


def measured(workshop: Workshop, record: LotRecord) -> list[PitcherMeasured]:
    """Return what was measured of each pitcher, in order. Blocks.

    Raises StoreError, and RemoteStoreError where the readings are elsewhere and cannot be had.
    """
    sheet = batch_sheet(record.opened.recipe, record.opened.vessels)
    probe = pitcher_probe(record)
    return [_pitcher(workshop, record, probe, each.number) for each in sheet.pitchers]


def _pitcher(
    workshop: Workshop, record: LotRecord, probe: Channel | None, pitcher: int
) -> PitcherMeasured:
    recipe = record.opened.recipe
    poured = _run(record, Phase.POUR, pitcher)

    def then(at_us: int | None, window: Window | None) -> TemperatureThen | None:
        if at_us is None:
            return None
        return temperature_then(at_us, mdegc_at(workshop, record, probe, at_us), window)

    return PitcherMeasured(
        pitcher=pitcher,
        channel=None if probe is None else probe.name,
        apart=any(apart.pitcher == pitcher for apart in record.apart),
        added=judged(record, pitcher)
        or then(scented_us(record, pitcher), recipe.fragrance.add_between),
        pour_began=then(None if poured is None else poured.began_us, recipe.pour_between),
        pour_ended=then(None if poured is None else poured.ended_us, recipe.pour_between),
        load=load_reached(record, pitcher),
    )


def temperature_then(at_us: int, mdegc: int | None, window: Window | None) -> TemperatureThen:
    """Show a temperature at a moment, and whether the rules hold it to be outside its window."""
    off = mdegc is not None and window is not None and rules.window_violated(window, mdegc)
    return TemperatureThen(at=instant(at_us), value=thousandths_or_none(mdegc), off=off)


def judged(record: LotRecord, pitcher: int) -> TemperatureThen | None:
    """Show the temperature that the fragrance was judged by, where it was found to be off.

    The alarm knows which reading the rule looked at.
    """
    for alarm in reversed(record.alarms):  # the last word counts
        raised = alarm.raised
        if (alarm.outcome or "").startswith(WITHDRAWN):
            continue  # it rested on what turned out otherwise
        if raised.rule == rules.FRAGRANCE_TEMPERATURE and raised.pitcher == pitcher:
            value = thousandths_or_none(raised.measured)
            return TemperatureThen(at=instant(raised.at_us), value=value, off=True)
    return None


def scented_us(record: LotRecord, pitcher: int) -> int | None:
    """Return when fragrance went into the wax; None where the bench did not see it.

    It does so as its phase begins, and later where it was weighed apart.
    """
    for apart in record.apart:
        if apart.pitcher == pitcher:
            return apart.added_us
    added = _run(record, Phase.ADD_FRAGRANCE, pitcher)
    return None if added is None else added.began_us


def load_reached(record: LotRecord, pitcher: int) -> LoadReached | None:
    """Return the fragrance load that a pitcher came to, None before both are weighed."""
    masses = {
        weighing.kind: weighing.mass_mg
        for weighing in record.weighings
        if weighing.pitcher == pitcher and weighing.kind is not WeighingKind.FILL
    }
    wax, fragrance = masses.get(WeighingKind.WAX), masses.get(WeighingKind.FRAGRANCE)
    if not wax or fragrance is None:
        return None
    load = Fraction(fragrance, wax)
    of_wax, of_total = (load_on(basis, load, LoadOf.WAX) for basis in (LoadOf.WAX, LoadOf.TOTAL))
    return LoadReached(of_wax=_percent(of_wax), of_total=_percent(of_total))


def _percent(share: Fraction) -> float:
    return round(float(share * 100), 2)


def _run(record: LotRecord, phase: PhaseName, pitcher: int) -> PhaseRun | None:
    return next(_runs(record, phase, pitcher), None)


def _runs(record: LotRecord, phase: PhaseName, pitcher: int) -> Iterator[PhaseRun]:
    return (run for run in record.phases if run.phase == phase and run.pitcher == pitcher)
