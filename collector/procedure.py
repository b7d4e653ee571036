"""Which phases of a lot have been gone through, by marks, by the scale and by the gaps.

A procedure belongs to one pitcher of a lot: each pitcher is drawn, scented, stirred and poured.
"""

from dataclasses import dataclass, field

import msgspec

from collector.conclusions import Evidence, PhaseBegan, PhaseEnded, PhaseWithdrawn, Source
from collector.phases import ORDER, Phase, PhaseName


class Where(msgspec.Struct, frozen=True, gc=False):
    """When, at which bench and in which lot something is concluded."""

    at_us: int
    bench: str
    lot: str | None


PhaseEvent = PhaseBegan | PhaseEnded


@dataclass
class Run:
    """One phase as it went: it may be taken up again, so its duration is a sum."""

    began_us: int
    source: Source
    ended_us: int | None = None
    duration_us: int = 0
    resumed_us: int = 0
    rests_on: Evidence | None = None

    def lasted_us(self, at_us: int) -> int:
        """Return how long it has gone on at a time."""
        return self.duration_us + (at_us - self.resumed_us if self.ended_us is None else 0)


@dataclass
class Procedure:
    """The phases of one pitcher: those expected, among all in their `order`."""

    expected: tuple[PhaseName, ...]
    pitcher: int
    order: tuple[PhaseName, ...] = ORDER
    runs: dict[PhaseName, Run] = field(default_factory=dict)

    @property
    def current(self) -> PhaseName | None:
        """The phase going on now."""
        for phase, run in reversed(self.runs.items()):
            if run.ended_us is None:
                return phase
        return None

    @property
    def upcoming(self) -> PhaseName | None:
        """The first expected bench phase after those begun."""
        last = max((self.order.index(phase) for phase in self.runs), default=-1)
        later = (phase for phase in self.expected if self.order.index(phase) > last)
        return next((phase for phase in later if phase in self.at_the_bench), None)

    @property
    def at_the_bench(self) -> tuple[PhaseName, ...]:
        """The phases, in order, that end before the lot is closed."""
        return self.order[: self.order.index(Phase.POUR) + 1]

    def missing_before(self, phase: PhaseName) -> tuple[PhaseName, ...]:
        """Return the expected phases that should have come before a phase and did not."""
        earlier = self.at_the_bench
        if phase in earlier:
            earlier = earlier[: earlier.index(phase)]
        return tuple(p for p in earlier if p in self.expected and p not in self.runs)

    def begin(
        self,
        where: Where,
        phase: PhaseName,
        began_us: int,
        source: Source,
        *,
        rests_on: Evidence | None = None,
    ) -> list[PhaseEvent]:
        """Begin a phase, or take it up again; the one going on ends with it.

        A mark takes the place of what the scale saw. `rests_on` are the readings that showed it.
        """
        run = self.runs.get(phase)
        if run is not None and run.ended_us is None:
            if source is not Source.MARK or run.source is Source.MARK:
                return []
            del self.runs[phase]
            run = None
        events: list[PhaseEvent] = []
        going = self.current
        if going is not None:
            events += self.end(where, going, began_us, self.runs[going].source)
        if run is None or (source is Source.MARK and run.source is not Source.MARK):
            self.runs[phase] = Run(began_us, source, resumed_us=began_us, rests_on=rests_on)
        else:
            run.ended_us, run.resumed_us = None, began_us
        events.append(self._began(where, phase, began_us, source, rests_on))
        return events

    def end(  # noqa: PLR0913 - one for each thing that decides when and how it ended
        self,
        where: Where,
        phase: PhaseName,
        ended_us: int,
        source: Source,
        *,
        at_most_us: int | None = None,
        rests_on: Evidence | None = None,
    ) -> list[PhaseEvent]:
        """End a phase that is going on; nothing happens where it is not.

        `at_most_us` is the longest that it can have lasted, where that is less than its span.
        Where no reading shows the end, it rests on those that showed the beginning.
        """
        run = self.runs.get(phase)
        if run is None or run.ended_us is not None:
            return []
        ended_us = max(ended_us, run.resumed_us)
        span_us = ended_us - run.resumed_us
        run.duration_us += span_us if at_most_us is None else min(span_us, at_most_us)
        run.ended_us = ended_us
        return [self._ended(where, phase, run, source, rests_on or run.rests_on)]

    def insert(
        self, where: Where, phase: PhaseName, began_us: int, ended_us: int, source: Source
    ) -> list[PhaseEvent]:
        """Take in a phase that is over, and was found only now; what goes on goes on."""
        run = Run(began_us, source, ended_us, ended_us - began_us)
        self.runs[phase] = run
        return [
            self._began(where, phase, began_us, source, None),
            self._ended(where, phase, run, source, None),
        ]

    def withdraw(self, where: Where, phase: PhaseName) -> list[PhaseWithdrawn]:
        """Let a phase count as one that never was; nothing happens where it was not told."""
        if self.runs.pop(phase, None) is None:
            return []
        return [
            PhaseWithdrawn(
                at_us=where.at_us,
                bench=where.bench,
                lot=where.lot,
                phase=phase,
                pitcher=self.pitcher,
            )
        ]

    def forget(self, phase: PhaseName) -> None:
        """Let a phase count as not done: what came after it undid it."""
        self.runs.pop(phase, None)

    def _began(
        self,
        where: Where,
        phase: PhaseName,
        began_us: int,
        source: Source,
        rests_on: Evidence | None,
    ) -> PhaseBegan:
        return PhaseBegan(
            at_us=where.at_us,
            bench=where.bench,
            lot=where.lot,
            phase=phase,
            pitcher=self.pitcher,
            began_us=began_us,
            source=source,
            rests_on=rests_on,
        )

    def _ended(
        self,
        where: Where,
        phase: PhaseName,
        run: Run,
        source: Source,
        rests_on: Evidence | None,
    ) -> PhaseEnded:
        return PhaseEnded(
            at_us=where.at_us,
            bench=where.bench,
            lot=where.lot,
            phase=phase,
            pitcher=self.pitcher,
            began_us=run.began_us,
            ended_us=run.ended_us if run.ended_us is not None else where.at_us,
            duration_us=run.duration_us,
            source=source,
            rests_on=rests_on,
        )
