"""Another lot beside this one, as the outside sees it."""

from pydantic import BaseModel, Field

from api.curves import curve
from api.instants import instant
from api.lot_curve import lot_span
from api.presenting import US_PER_S, thousandths_or_none
from api.temperatures_then import mdegc_at, pitcher_probe
from collector.beside import Laid, PhasePair, laid_beside, phase_pairs
from collector.lot_record import LotRecord
from collector.workshop import Workshop


class BesideStretch(BaseModel):
    """The other lot after one event; `t` in seconds since 1970 on this lot's clock, °C."""

    anchor: str
    t: list[float]
    value: list[float | None] = Field(description="null values are gaps")


class EventBeside(BaseModel):
    """An event that both lots had: when, how warm the wax was, and how far the other differs.

    `difference` is the other lot's temperature less this one's, null where either is not known.
    """

    anchor: str
    at: str
    other_at: str
    here: float | None
    there: float | None
    difference: float | None


class PhaseBeside(BaseModel):
    """How many seconds a phase lasted; `difference` is the other lot's less this one's."""

    phase: str
    here: float | None
    there: float | None
    difference: float | None


class BesideShown(BaseModel):
    """Another lot's first pitcher on this lot's clock, and how the two differ."""

    lot: str
    recipe: str
    opened_at: str
    stretches: list[BesideStretch]
    events: list[EventBeside]
    phases: list[PhaseBeside]


def beside(workshop: Workshop, here: LotRecord, there: LotRecord, points: int) -> BesideShown:
    """Lay another lot beside this one, each stretch reduced so that peaks stay. Blocks.

    Raises StoreError, and RemoteStoreError where readings are elsewhere and cannot be had.
    """
    laid = laid_beside(here, there, workshop.clock.now_us())
    share = max(2, points // max(1, len(laid)))
    return BesideShown(
        lot=there.opened.lot or "",
        recipe=there.opened.recipe.name,
        opened_at=instant(there.opened.at_us),
        stretches=[_stretch(workshop, there, each, share) for each in laid],
        events=[_event(workshop, here, there, each) for each in laid],
        phases=[_phase(pair) for pair in phase_pairs(here, there)],
    )


def _stretch(workshop: Workshop, there: LotRecord, laid: Laid, points: int) -> BesideStretch:
    probe = pitcher_probe(there)
    if probe is None:
        return BesideStretch(anchor=laid.anchor.value, t=[], value=[])
    shown = curve(probe, lot_span(workshop, there, probe, laid.from_us, laid.until_us), points)
    shift = laid.shift_us / US_PER_S
    return BesideStretch(
        anchor=laid.anchor.value, t=[round(t + shift, 6) for t in shown.t], value=shown.value
    )


def _event(workshop: Workshop, here: LotRecord, there: LotRecord, laid: Laid) -> EventBeside:
    at_us = laid.from_us + laid.shift_us
    mine = mdegc_at(workshop, here, pitcher_probe(here), at_us)
    other = mdegc_at(workshop, there, pitcher_probe(there), laid.from_us)
    difference = None if mine is None or other is None else other - mine
    return EventBeside(
        anchor=laid.anchor.value,
        at=instant(at_us),
        other_at=instant(laid.from_us),
        here=thousandths_or_none(mine),
        there=thousandths_or_none(other),
        difference=thousandths_or_none(difference),
    )


def _phase(pair: PhasePair) -> PhaseBeside:
    mine, other = pair.here_us, pair.there_us
    difference = None if mine is None or other is None else other - mine
    here, there, apart = (_seconds(us) for us in (mine, other, difference))
    return PhaseBeside(phase=pair.phase, here=here, there=there, difference=apart)


def _seconds(us: int | None) -> float | None:
    return None if us is None else round(us / US_PER_S, 1)
