"""A lot's record: its events folded into phases, weighings, deviations and gaps."""

from collections.abc import Iterable
from typing import TypeVar

import msgspec

from collector.alarm_ledger import AlarmLedger
from collector.alarms import Alarm
from collector.conclusions import (
    Evidence,
    FragranceApart,
    MarkContradicted,
    PhaseBegan,
    PhaseEnded,
    PhaseWithdrawn,
    Source,
    WeighingAccepted,
    WeighingKind,
    WeighingWithdrawn,
)
from collector.errors import NotFoundError
from collector.event_base import Event
from collector.lot_events import (
    LotClosed,
    LotJudged,
    LotKept,
    LotOpened,
    LotReleased,
    MarkWithdrawn,
    PhaseMarked,
)
from collector.lot_notes import LotNotes
from collector.lots import LotState
from collector.phases import PhaseName
from collector.scents_apart import scents_apart
from collector.service_events import (
    ClockFoundOff,
    CollectionResumed,
    ReadingsCameLate,
    ReadingsLost,
)

E = TypeVar("E", bound=Event)


class PhaseRun(msgspec.Struct, frozen=True):
    """One phase of one pitcher as it went."""

    phase: PhaseName
    pitcher: int
    began_us: int
    source: Source
    ended_us: int | None = None
    duration_us: int | None = None
    rests_on: Evidence | None = None
    """The readings in which the scale showed it; None where a mark or a gap tells."""


class LotRecord(msgspec.Struct, frozen=True, kw_only=True):
    """Everything about a lot. `alarms` holds the folded ones too; `deviations` does not.

    `verdict` is the maker's last word on how the lot came out, None while she has said nothing;
    `kept` whether she wants its readings kept for good.
    """

    opened: LotOpened
    closed_us: int | None
    phases: tuple[PhaseRun, ...]
    weighings: tuple[WeighingAccepted, ...]
    marks: tuple[PhaseMarked, ...]
    alarms: tuple[Alarm, ...]
    gaps: tuple[CollectionResumed, ...]
    verdict: LotJudged | None = None
    kept: bool = False
    contradictions: tuple[MarkContradicted, ...] = ()
    withdrawals: tuple[MarkWithdrawn, ...] = ()
    """The marks that were taken back; `marks` holds them too."""
    clock: tuple[ClockFoundOff, ...] = ()
    """By how much the times were found to be wrong; the last one holds."""
    notes: LotNotes = LotNotes()
    """What was written and photographed of it; nothing is judged by that."""
    apart: tuple[FragranceApart, ...] = ()
    """The pitchers whose fragrance was weighed apart, with when it went into the wax."""
    late: tuple[ReadingsCameLate, ...] = ()
    """What came when the bench had gone on: it is kept, and was not judged."""
    lost: tuple[ReadingsLost, ...] = ()
    """What memory could not hold meanwhile. It is told of no lot: `with_losses` finds it."""

    def with_losses(self, losses: Iterable[ReadingsLost]) -> "LotRecord":
        """Return the record with the losses of any time that fall into the lot's."""
        end_us = self.closed_us
        mine = (
            loss
            for loss in losses
            if loss.to_us >= self.opened.at_us and (end_us is None or loss.from_us <= end_us)
        )
        return msgspec.structs.replace(self, lost=tuple(mine))

    @property
    def gaps_us(self) -> list[tuple[int, int]]:
        """The spans of which there are no readings, down or lost, in order, UTC microseconds."""
        end_us = self.closed_us
        lost = (
            (
                max(loss.from_us, self.opened.at_us),
                loss.to_us if end_us is None else min(loss.to_us, end_us),
            )
            for loss in self.lost
        )
        return sorted([*((gap.since_us, gap.at_us) for gap in self.gaps), *lost])

    @property
    def state(self) -> LotState:
        """Open or closed."""
        return LotState.OPEN if self.closed_us is None else LotState.CLOSED

    @property
    def deviations(self) -> tuple[Alarm, ...]:
        """The alarms that stand for themselves."""
        return tuple(alarm for alarm in self.alarms if alarm.folded_into is None)

    def contradiction_of(self, mark: PhaseMarked) -> str | None:
        """Return what the scale showed against a mark; None where it did not."""
        said = (
            c.why for c in self.contradictions if (c.phase, c.marked_us) == (mark.phase, mark.at_us)
        )
        return next(said, None)

    def withdrawn_us(self, mark: PhaseMarked) -> int | None:
        """Return when a mark was taken back; None where it stands."""
        taken_back = (w.at_us for w in self.withdrawals if w.marked_us == mark.at_us)
        return next(taken_back, None)

    @property
    def latest_mark(self) -> PhaseMarked | None:
        """The latest mark that stands."""
        standing = (mark for mark in reversed(self.marks) if self.withdrawn_us(mark) is None)
        return next(standing, None)

    @property
    def fills(self) -> int:
        """How many vessels were filled."""
        return sum(weighing.kind is WeighingKind.FILL for weighing in self.weighings)


def record_of(events: Iterable[Event]) -> LotRecord:
    """Fold the events of one lot, in order. Raises NotFoundError where the lot never opened."""
    journal = list(events)
    opened = next(reversed(_each(journal, LotOpened)), None)
    if opened is None:
        raise NotFoundError
    return LotRecord(
        opened=opened,
        closed_us=next((event.at_us for event in reversed(_each(journal, LotClosed))), None),
        phases=_phases(journal),
        weighings=_weighings(journal),
        apart=tuple(scents_apart(journal).values()),
        marks=_each(journal, PhaseMarked),
        contradictions=_each(journal, MarkContradicted),
        withdrawals=_each(journal, MarkWithdrawn),
        alarms=tuple(AlarmLedger(journal).alarms.values()),
        gaps=_each(journal, CollectionResumed),
        clock=_each(journal, ClockFoundOff),
        notes=LotNotes().after(journal),
        late=_each(journal, ReadingsCameLate),
        verdict=next(reversed(_each(journal, LotJudged)), None),
        kept=_kept(journal),
    )


def _each(journal: Iterable[Event], kind: type[E]) -> tuple[E, ...]:
    return tuple(event for event in journal if isinstance(event, kind))


def _kept(journal: Iterable[Event]) -> bool:
    said = [event for event in journal if isinstance(event, LotKept | LotReleased)]
    return bool(said) and isinstance(said[-1], LotKept)


def _weighings(journal: Iterable[Event]) -> tuple[WeighingAccepted, ...]:
    """Return the last word on each weighing."""
    weighings: dict[tuple[WeighingKind, int, int | None], WeighingAccepted] = {}
    for event in journal:
        if isinstance(event, WeighingAccepted):
            weighings[event.kind, event.pitcher, event.vessel] = event
        elif isinstance(event, WeighingWithdrawn):
            weighings.pop((event.kind, event.pitcher, event.vessel), None)
    return tuple(weighings.values())


def _phases(journal: Iterable[Event]) -> tuple[PhaseRun, ...]:
    phases: dict[tuple[PhaseName, int], PhaseRun] = {}
    for event in journal:
        if isinstance(event, PhaseBegan | PhaseEnded):
            key = (event.phase, event.pitcher)
            phases[key] = _run(phases.get(key), event)
        elif isinstance(event, PhaseWithdrawn):
            phases.pop((event.phase, event.pitcher), None)
    return tuple(sorted(phases.values(), key=lambda run: run.began_us))


def _run(known: PhaseRun | None, event: PhaseBegan | PhaseEnded) -> PhaseRun:
    if isinstance(event, PhaseEnded):
        return PhaseRun(
            event.phase,
            event.pitcher,
            event.began_us,
            known.source if known is not None else event.source,
            event.ended_us,
            event.duration_us,
            event.rests_on,
        )
    resumed = known is not None and known.ended_us is not None
    began_us = known.began_us if known is not None and resumed else event.began_us
    return PhaseRun(event.phase, event.pitcher, began_us, event.source, rests_on=event.rests_on)
