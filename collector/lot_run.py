"""One lot in the making: what the scale and the marks tell becomes phases, weighings and alarms."""

from collections.abc import Iterable, Mapping, Sequence

from collector import rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.amends import WITHDRAWN
from collector.band_watch import BandWatch
from collector.batch_sheet import batch_sheet
from collector.case import Warmth, warmth
from collector.conclusions import (
    Evidence,
    FragranceApart,
    MarkContradicted,
    Source,
    WeighingAccepted,
    WeighingKind,
    WeighingWithdrawn,
)
from collector.events import AnyDerived
from collector.expectations import Stage
from collector.findings import Begun, Contradicted, Finding, Mistaken, Tipped, Weighed
from collector.lot_events import LotOpened, PhaseMarked
from collector.lot_grams import LotGrams
from collector.lot_heat import LotHeat
from collector.marked_phases import MarkedPhases
from collector.omissions import Omissions
from collector.own_limits import OwnLimits
from collector.phases import Edge, Phase, PhaseName
from collector.pot_watch import PotWatch
from collector.procedure import Procedure, Where
from collector.progress import Progress
from collector.readings import Reading, Role
from collector.recognizer import Recognizer
from collector.scene import Load
from collector.stir import Stir
from collector.stirring import Glimpse, Stirred
from collector.targets import Targets
from collector.thermometer import Thermometer

PHASE_OF = {
    WeighingKind.WAX: Phase.DRAW_WAX,
    WeighingKind.FRAGRANCE: Phase.ADD_FRAGRANCE,
    WeighingKind.FILL: Phase.POUR,
}

RESTS_ON_IT = {
    WeighingKind.WAX: (),
    WeighingKind.FRAGRANCE: (rules.FRAGRANCE_TEMPERATURE, rules.STIR_DURATION),
    WeighingKind.FILL: (rules.POUR_TEMPERATURE,),
}
"""The rules that judge a phase by what was weighed in it: without it they have nothing to say."""

TAKEN_BACK = f"{WITHDRAWN}the scale turned out to show something else"


class LotRun:
    """Follows one open lot; all that it concludes comes back as derived events."""

    def __init__(
        self, opened: LotOpened, book: AlarmBook, thermometers: Mapping[Role, Thermometer]
    ) -> None:
        self.lot = opened.lot
        self.recipe = opened.recipe
        self.vessels = opened.vessels
        self.display = opened.display
        self.sheet = batch_sheet(opened.recipe, opened.vessels)
        scale = next((c for c in opened.channels if c.role is Role.SCALE), None)
        name, typed = (scale.name, scale.typed) if scale is not None else ("", False)
        self.progress = Progress(Targets(opened.recipe, self.sheet))
        self.recognizer = Recognizer(self.progress, name, self._warmth_at, typed=typed)
        self.procedure = Procedure(opened.recipe.phases, 1, opened.recipe.order)
        self.pot = PotWatch(opened.pot, self.sheet)
        self.heat = LotHeat(opened.recipe, opened.display, thermometers, book, typed=typed)
        self._book = book
        self._stir = Stir(opened.recipe, book, typed=typed)
        self._own_limits = OwnLimits(opened, book)
        self._marked = MarkedPhases(opened.recipe, book)
        self._grams = LotGrams(
            opened,
            sheet=self.sheet,
            progress=self.progress,
            pot=self.pot,
            heat=self.heat,
            book=book,
        )
        self._omissions = Omissions(
            opened.recipe,
            opened.display,
            progress=self.progress,
            heat=self.heat,
            marked=self._marked,
            book=book,
        )
        probe = next((c.name for c in opened.channels if c.role is Role.PITCHER), None)
        self._band = BandWatch(opened.band, opened.recipe, probe, book, opened.display)
        self._poured_us: int | None = None

    # ------------------------------------------------------------ inputs

    def weigh(self, where: Where, reading: Reading) -> list[AnyDerived]:
        """Take one reading of the bench's scale."""
        events = self._conclude(where, self.recognizer.read(reading))
        events += self._watch_stirring(where)
        return events + self._marked.judge(where, events) if events else events

    def read(self, where: Where, reading: Reading) -> list[AnyDerived]:
        """Take one reading of a thermometer."""
        return self._own_limits.read(where, reading, self.procedure.current)

    def mark(self, where: Where, marked: PhaseMarked) -> list[AnyDerived]:
        """Take a person's mark."""
        self._marked.marked()
        events = self._mark(where, marked)
        return events + self._marked.judge(where, events)

    def _mark(self, where: Where, marked: PhaseMarked) -> list[AnyDerived]:
        events = self._conclude(where, self.recognizer.mark(marked.phase, marked.edge))
        if marked.edge is Edge.END:
            return events + self._mark_end(where, marked.phase)
        self._follow_pitcher(where, events, self.progress.pitcher)
        if marked.phase == Phase.POUR:
            return events + self._begin_pour(where, where.at_us, Source.MARK)
        return events + self._begin(where, marked.phase, where.at_us, Source.MARK)

    def tick(self, where: Where) -> list[AnyDerived]:
        """Let time pass: clear what has been put right in the meantime."""
        events: list[AnyDerived] = []
        stir = self.procedure.runs.get(Phase.STIR)
        if stir is not None and self._stir.enough(stir.lasted_us(where.at_us)):
            events += self._book.clear(where, self._key(rules.STIR_DURATION), "stirred on")
        events += self._marked.tick(where, self.procedure)
        events += self._own_limits.tick(where, self.procedure.current)
        if self.progress.stage is Stage.BLEND:
            events += self.heat.warmed(where, self.procedure.pitcher)
        if self._band.known:
            events += self._band.tick(where, self.procedure, self.heat.wax_mdegc(where.at_us))
        return events

    def close(self, where: Where) -> list[AnyDerived]:
        """End the lot at the bench: what is missing becomes a deviation."""
        events = self._conclude(where, self.recognizer.finish())
        current = self.procedure.current
        if current is not None:
            poured = current == Phase.POUR and self._poured_us
            source = self.procedure.runs[current].source
            events += self.procedure.end(where, current, poured or where.at_us, source)
        events += self._marked.judge(where, events)
        events += self._omissions.closed(where, self.procedure)
        if Phase.SET in self.recipe.phases:
            since = self._poured_us or where.at_us
            events += self.procedure.begin(where, Phase.SET, since, Source.SCALE)
        return events

    # ------------------------------------------------------------ what others ask

    def unanswered(self, rule: str, phase: PhaseName | None = None) -> bool:
        """Tell whether an alarm of this pitcher stands that nobody has acknowledged."""
        return self._book.unseen(AlarmKey(rule, self.procedure.pitcher, subject=phase))

    @property
    def vessel_us(self) -> int | None:
        """How long a vessel of this pitcher takes, by those filled so far; None before two."""
        run = self.procedure.runs.get(Phase.POUR)
        filled = self.progress.filled - self.progress.vessels_due(self.progress.pitcher - 1)
        if run is None or self._poured_us is None or filled < 2:
            return None
        return (self._poured_us - run.began_us) // filled

    def _warmth_at(self, at_us: int) -> Warmth:
        return warmth(self.recipe, self.heat.wax_mdegc(at_us))

    # ------------------------------------------------------------ what was found

    def _conclude(self, where: Where, findings: Sequence[Finding]) -> list[AnyDerived]:
        events: list[AnyDerived] = []
        for finding in findings:
            if isinstance(finding, Begun):
                events += self._begun(where, finding)
            elif isinstance(finding, Mistaken):
                events += self._take_back(where, finding)
            elif isinstance(finding, Tipped):
                events += self._tipped(where, finding)
            elif isinstance(finding, Contradicted):
                events.append(_contradicted(where, finding))
            else:
                events += self._weighed(where, finding)
        return events

    def _begun(self, where: Where, begun: Begun) -> list[AnyDerived]:
        events: list[AnyDerived] = []
        if begun.pitcher < self.procedure.pitcher:
            return events  # seen only now: that pitcher's procedure is over
        self._follow_pitcher(where, events, begun.pitcher)
        if begun.kind is WeighingKind.FILL:
            return events + self._begin_pour(where, begun.at_us, Source.SCALE, begun.evidence)
        phase = PHASE_OF[begun.kind]
        if phase not in self.procedure.runs:
            events += self._begin(where, phase, begun.at_us, Source.SCALE, begun.evidence)
        if begun.apart:
            return [*events, _apart(where, begun.pitcher, None)]
        if begun.kind is WeighingKind.FRAGRANCE:
            events += self._scent(where, begun.at_us)
        return events

    def _tipped(self, where: Where, tipped: Tipped) -> list[AnyDerived]:
        """Judge fragrance that was weighed apart by the moment it goes into the wax."""
        if tipped.settled_us is not None:
            return self._stir_since(where, tipped.settled_us)
        added = _apart(where, tipped.pitcher, tipped.began_us)
        return [added, *self._scent(where, tipped.began_us)]

    def _scent(self, where: Where, at_us: int) -> list[AnyDerived]:
        """Judge the fragrance's temperature; what was stirred before it does not count."""
        events: list[AnyDerived] = []
        if Phase.STIR in self.procedure.runs:
            events += self.procedure.end(where, Phase.STIR, at_us, Source.SCALE)
            self.procedure.forget(Phase.STIR)
        self._stir.undo()
        return events + self.heat.scented(where, self.procedure.pitcher, at_us)

    def _weighed(self, where: Where, weighed: Weighed) -> list[AnyDerived]:
        events: list[AnyDerived] = [
            WeighingAccepted(
                at_us=where.at_us,
                bench=where.bench,
                lot=where.lot,
                kind=weighed.kind,
                pitcher=weighed.pitcher,
                vessel=weighed.vessel,
                mass_mg=weighed.mass_mg,
                target_mg=weighed.expected.target_mg,
                tolerance_mg=weighed.expected.tolerance_mg,
                evidence=weighed.evidence,
                revision=weighed.revision,
            )
        ]
        if weighed.kind is WeighingKind.WAX:
            self.pot.drew(weighed.pitcher, weighed.mass_mg)
        events += self._grams.judge(where, weighed)
        if weighed.pitcher != self.procedure.pitcher:
            return events
        if weighed.kind is WeighingKind.FILL:
            self._poured_us = weighed.settled_us
            if self.progress.filled < self.progress.vessels_due(weighed.pitcher):
                return events
            events += self._leave_behind(where, weighed.pitcher)
        phase = PHASE_OF[weighed.kind]
        events += self.procedure.end(
            where, phase, weighed.settled_us, Source.SCALE, rests_on=weighed.evidence
        )
        if weighed.kind is WeighingKind.FRAGRANCE:
            events += self._stir_since(where, weighed.settled_us)
        return events

    def _leave_behind(self, where: Where, pitcher: int) -> list[AnyDerived]:
        """Clear what was wrong with a pitcher that is poured: nothing can be done about it now."""
        late = [AlarmKey(rule, pitcher) for rule in rules.OF_A_PITCHER]
        return [e for key in late for e in self._book.clear(where, key, "the pitcher was poured")]

    # ------------------------------------------------------------ what turned out otherwise

    def _take_back(self, where: Where, mistaken: Mistaken) -> list[AnyDerived]:
        """Let what the scale seemed to show count as not done, with all that rested on it."""
        kind, pitcher = mistaken.kind, mistaken.pitcher
        events = self._withdraw_weighing(where, mistaken) if mistaken.weighed else []
        run = self.procedure.runs.get(PHASE_OF[kind])
        if pitcher != self.procedure.pitcher or not mistaken.only or run is None:
            return events
        if run.source is Source.MARK:
            return events
        events += self.procedure.withdraw(where, PHASE_OF[kind])
        for rule in RESTS_ON_IT[kind]:
            events += self._book.clear(where, AlarmKey(rule, pitcher), TAKEN_BACK)
        if kind is WeighingKind.FILL:
            events += self._omissions.taken_back(where, self.procedure, TAKEN_BACK)
            events += self._stir.resume(where, self.procedure)
        elif kind is WeighingKind.FRAGRANCE and Phase.POUR in self.procedure.runs:
            events += self._omissions.unscented(where, self.procedure)
        return events

    def _withdraw_weighing(self, where: Where, mistaken: Mistaken) -> list[AnyDerived]:
        kind, pitcher, vessel = mistaken.kind, mistaken.pitcher, mistaken.vessel
        withdrawn = WeighingWithdrawn(
            at_us=where.at_us,
            bench=where.bench,
            lot=where.lot,
            kind=kind,
            pitcher=pitcher,
            vessel=vessel,
        )
        if kind is WeighingKind.WAX:
            self.pot.drew(pitcher, 0)
        rule, _phase = rules.GRAMS_RULES[kind]
        return [
            withdrawn,
            *self._book.clear(where, AlarmKey(rule, pitcher, vessel), TAKEN_BACK),
        ]

    # ------------------------------------------------------------ phases

    def _begin(
        self,
        where: Where,
        phase: PhaseName,
        began_us: int,
        source: Source,
        rests_on: Evidence | None = None,
    ) -> list[AnyDerived]:
        events = self._omissions.begun(where, self.procedure, phase)
        return events + list(
            self.procedure.begin(where, phase, began_us, source, rests_on=rests_on)
        )

    def _begin_pour(
        self, where: Where, began_us: int, source: Source, rests_on: Evidence | None = None
    ) -> list[AnyDerived]:
        run = self.procedure.runs.get(Phase.POUR)
        if run is not None and run.ended_us is None:
            return self.heat.poured(where, self.procedure.pitcher, began_us)
        events: list[AnyDerived] = []
        if run is None:
            events += self._stir.settle(where, self.procedure, began_us)
            events += self._omissions.poured(where, self.procedure)
        events += self.procedure.begin(where, Phase.POUR, began_us, source, rests_on=rests_on)
        return events + self.heat.poured(where, self.procedure.pitcher, began_us)

    def _mark_end(self, where: Where, phase: PhaseName) -> list[AnyDerived]:
        events: list[AnyDerived] = []
        if phase not in self.procedure.runs:
            began = self._stir.scented_us if phase == Phase.STIR else None
            events += self._begin(where, phase, began or where.at_us, Source.MARK)
        events += self.procedure.end(where, phase, where.at_us, Source.MARK)
        if phase == Phase.STIR:
            events += self._stir.judge(where, self.procedure, at_most=False)
        return events

    def _follow_pitcher(self, where: Where, events: list[AnyDerived], pitcher: int) -> None:
        """Start the procedure afresh where the scale or a mark shows the next pitcher."""
        if pitcher == self.procedure.pitcher:
            return
        current = self.procedure.current
        if current is not None:
            events += self.procedure.end(where, current, where.at_us, Source.SCALE)
        events += self._leave_behind(where, self.procedure.pitcher)
        self.procedure = Procedure(self.recipe.phases, pitcher, self.recipe.order)
        self._stir.start_afresh()

    # ------------------------------------------------------------ stirring

    def _watch_stirring(self, where: Where) -> list[AnyDerived]:
        load = Load.PITCHER if self.recognizer.pitcher_rests else Load.NOTHING
        shown = self.recognizer.scene.pitcher_shown
        seen = Glimpse(where.at_us, self.recognizer.scale, load, shown)
        found = self._stir.watch(seen, going=self.progress.stage is Stage.BLEND)
        return self._saw_stirring(where, found) if found else []

    def _stir_since(self, where: Where, settled_us: int) -> list[AnyDerived]:
        """Look for the stir from when the fragrance was in, which may be told only now."""
        self.heat.disturbed(settled_us)
        found = self._stir.scented(settled_us)
        if Phase.POUR not in self.procedure.runs:
            return self._saw_stirring(where, found)
        return self._stir.settle_late(where, self.procedure, found)

    def _saw_stirring(self, where: Where, found: Iterable[Stirred]) -> list[AnyDerived]:
        events: list[AnyDerived] = []
        for each in found:
            run = self.procedure.runs.get(Phase.STIR)
            if run is not None and run.source is Source.MARK:
                continue
            if each.ended_us is None:
                events += self._begin(where, Phase.STIR, each.began_us, Source.SCALE)
            elif self.recognizer.adding:  # it was no stirring, but the rest of the fragrance
                events += self.procedure.withdraw(where, Phase.STIR)
            else:
                events += self.procedure.end(where, Phase.STIR, each.ended_us, Source.SCALE)
                events += self._stir.judge(where, self.procedure, at_most=True)
        return events

    def _key(self, rule: str) -> AlarmKey:
        return AlarmKey(rule, self.procedure.pitcher)


def _contradicted(where: Where, finding: Contradicted) -> MarkContradicted:
    return MarkContradicted(
        at_us=where.at_us,
        bench=where.bench,
        lot=where.lot,
        phase=finding.phase,
        edge=finding.edge,
        marked_us=where.at_us,
        why=finding.why,
    )


def _apart(where: Where, pitcher: int, added_us: int | None) -> FragranceApart:
    return FragranceApart(
        at_us=where.at_us, bench=where.bench, lot=where.lot, pitcher=pitcher, added_us=added_us
    )
