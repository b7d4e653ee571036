"""A lot's record: its events folded into phases, weighings, deviations and gaps."""

from collections.abc import Iterable

import msgspec

from collector.alarm_ledger import AlarmLedger
from collector.alarms import Alarm
from collector.errors import NotFoundError
from collector.events import (
    CollectionResumed,
    Event,
    LotClosed,
    LotOpened,
    PhaseBegan,
    PhaseEnded,
    PhaseMarked,
    Source,
    WeighingAccepted,
    WeighingKind,
)
from collector.lots import LotState
from collector.phases import PhaseName


class PhaseRun(msgspec.Struct, frozen=True):
    """One phase of one pitcher as it went."""

    phase: PhaseName
    pitcher: int
    began_us: int
    source: Source
    ended_us: int | None = None
    duration_us: int | None = None


class LotRecord(msgspec.Struct, frozen=True, kw_only=True):
    """Everything about a lot. `alarms` holds the folded ones too; `deviations` does not."""

    opened: LotOpened
    closed_us: int | None
    phases: tuple[PhaseRun, ...]
    weighings: tuple[WeighingAccepted, ...]
    marks: tuple[PhaseMarked, ...]
    alarms: tuple[Alarm, ...]
    gaps: tuple[CollectionResumed, ...]

    @property
    def state(self) -> LotState:
        """Open or closed."""
        return LotState.OPEN if self.closed_us is None else LotState.CLOSED

    @property
    def deviations(self) -> tuple[Alarm, ...]:
        """The alarms that stand for themselves."""
        return tuple(alarm for alarm in self.alarms if alarm.folded_into is None)

    @property
    def fills(self) -> int:
        """How many vessels were filled."""
        return sum(weighing.kind is WeighingKind.FILL for weighing in self.weighings)


def record_of(events: Iterable[Event]) -> LotRecord:
    """Fold the events of one lot, in order. Raises NotFoundError where the lot never opened."""
    opened: LotOpened | None = None
    closed_us: int | None = None
    phases: dict[tuple[PhaseName, int], PhaseRun] = {}
    weighings: dict[tuple[WeighingKind, int, int | None], WeighingAccepted] = {}
    marks: list[PhaseMarked] = []
    gaps: list[CollectionResumed] = []
    ledger = AlarmLedger()
    for event in events:
        ledger.apply(event)
        if isinstance(event, LotOpened):
            opened = event
        elif isinstance(event, LotClosed):
            closed_us = event.at_us
        elif isinstance(event, PhaseBegan | PhaseEnded):
            key = (event.phase, event.pitcher)
            phases[key] = _run(phases.get(key), event)
        elif isinstance(event, WeighingAccepted):
            weighings[event.kind, event.pitcher, event.vessel] = event
        elif isinstance(event, PhaseMarked):
            marks.append(event)
        elif isinstance(event, CollectionResumed):
            gaps.append(event)
    if opened is None:
        raise NotFoundError
    return LotRecord(
        opened=opened,
        closed_us=closed_us,
        phases=tuple(sorted(phases.values(), key=lambda run: run.began_us)),
        weighings=tuple(weighings.values()),
        marks=tuple(marks),
        alarms=tuple(ledger.alarms.values()),
        gaps=tuple(gaps),
    )


def _run(known: PhaseRun | None, event: PhaseBegan | PhaseEnded) -> PhaseRun:
    if isinstance(event, PhaseEnded):
        return PhaseRun(
            event.phase,
            event.pitcher,
            event.began_us,
            known.source if known is not None else event.source,
            event.ended_us,
            event.duration_us,
        )
    resumed = known is not None and known.ended_us is not None
    began_us = known.began_us if known is not None and resumed else event.began_us
    return PhaseRun(event.phase, event.pitcher, began_us, event.source)
