"""Two lots side by side: the other one's first pitcher on this lot's clock.

They are laid over each other as a band is laid on a lot: on what happened, stretch by stretch.
"""

from collections.abc import Iterator

import msgspec

from collector.anchors import PITCHER, Reach, reaches
from collector.band import Anchor
from collector.lot_record import LotRecord, PhaseRun
from collector.phases import AFTERCARE, PhaseName


class Laid(msgspec.Struct, frozen=True):
    """One stretch that both lots went through, from the same event on; UTC microseconds.

    `from_us` and `until_us` are on the other lot's own clock, `shift_us` later is this lot's. It
    goes on for as long as both lots do: the next stretch is laid on its own event.
    """

    anchor: Anchor
    from_us: int
    until_us: int
    shift_us: int


class PhasePair(msgspec.Struct, frozen=True):
    """How long one phase lasted in this lot and in the other; microseconds, None where unknown."""

    phase: PhaseName
    here_us: int | None
    there_us: int | None


def laid_beside(here: LotRecord, there: LotRecord, now_us: int) -> tuple[Laid, ...]:
    """Lay another lot on this lot's clock; `now_us` ends what is still open."""
    theirs = {reach.anchor: reach for reach in _reaches(there)}
    pairs = ((reach, theirs.get(reach.anchor)) for reach in _reaches(here))
    return tuple(
        _laid(mine, other, min(_length_us(mine, here, now_us), _length_us(other, there, now_us)))
        for mine, other in pairs
        if other is not None
    )


def phase_pairs(here: LotRecord, there: LotRecord) -> tuple[PhasePair, ...]:
    """Return the first pitcher's phases at the bench that either lot went through, in order."""
    mine, theirs = dict(_runs(here)), dict(_runs(there))
    order = [*here.opened.recipe.order, *there.opened.recipe.order]
    found = [phase for phase in dict.fromkeys(order) if phase in mine or phase in theirs]
    return tuple(PhasePair(phase, _lasted(mine, phase), _lasted(theirs, phase)) for phase in found)


def _laid(mine: Reach, other: Reach, length_us: int) -> Laid:
    until_us = other.from_us + max(0, length_us)
    return Laid(mine.anchor, other.from_us, until_us, mine.from_us - other.from_us)


def _length_us(reach: Reach, record: LotRecord, now_us: int) -> int:
    end_us = now_us if record.closed_us is None else record.closed_us
    return (end_us if reach.until_us is None else reach.until_us) - reach.from_us


def _reaches(record: LotRecord) -> tuple[Reach, ...]:
    return reaches(dict(_runs(record)))


def _runs(record: LotRecord) -> Iterator[tuple[PhaseName, PhaseRun]]:
    for run in record.phases:
        if run.pitcher == PITCHER and run.phase not in AFTERCARE:
            yield run.phase, run


def _lasted(runs: dict[PhaseName, PhaseRun], phase: PhaseName) -> int | None:
    run = runs.get(phase)
    return None if run is None else run.duration_us
