"""One lot in the making: what the scale and the marks tell becomes phases, weighings and alarms."""

from collections.abc import Mapping, Sequence

import msgspec

from collector import advice, mix_advice, rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.band_watch import BandWatch
from collector.batch_sheet import batch_sheet
from collector.case import warmth
from collector.corrections import Mixed, mixed_of
from collector.events import (
    AnyDerived,
    Evidence,
    LotOpened,
    MarkContradicted,
    PhaseMarked,
    Source,
    WeighingAccepted,
    WeighingKind,
)
from collector.expectations import Stage
from collector.findings import Begun, Contradicted, Finding, Mistaken, Tipped, Weighed
from collector.forecast import Span
from collector.marked_phases import MarkedPhases, skipped
from collector.own_limits import OwnLimits
from collector.phases import Edge, Phase, PhaseName
from collector.pot_watch import PotWatch
from collector.procedure import Procedure, Where
from collector.progress import Progress
from collector.readings import Reading, Role
from collector.recognizer import Recognizer
from collector.scene import Load
from collector.stir import Stir
from collector.stirring import Stirred
from collector.targets import Targets
from collector.thermometer import Thermometer

PHASE_OF = {
    WeighingKind.WAX: Phase.DRAW_WAX,
    WeighingKind.FRAGRANCE: Phase.ADD_FRAGRANCE,
    WeighingKind.FILL: Phase.POUR,
}


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
        self.recognizer = Recognizer(self.progress, name, typed=typed)
        self.procedure = Procedure(opened.recipe.phases, 1, opened.recipe.order)
        self.pot = PotWatch(opened.pot, self.sheet)
        self._book = book
        self._thermometers = thermometers
        self._stir = Stir(opened.recipe, book, typed=typed)
        self._own_limits = OwnLimits(opened, book)
        self._marked = MarkedPhases(opened.recipe, book)
        self._typed = typed
        probe = next((c.name for c in opened.channels if c.role is Role.PITCHER), None)
        self._band = BandWatch(opened.band, opened.recipe, probe, book, opened.display)
        self._poured_us: int | None = None
        self._scented_cool = False

    # ------------------------------------------------------------ inputs

    def weigh(self, where: Where, reading: Reading) -> list[AnyDerived]:
        """Take one reading of the bench's scale."""
        self.recognizer.warmth = warmth(self.recipe, self.wax_mdegc(where.at_us))
        events = self._conclude(where, self.recognizer.read(reading))
        events += self._watch_stirring(where)
        return events + self._marked.judge(where, events)

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
        events += self._clear_warmed(where)
        return events + self._band.tick(where, self.procedure, self.wax_mdegc(where.at_us))

    def _clear_warmed(self, where: Where) -> list[AnyDerived]:
        """Clear the alarm of a fragrance that went in too cool once the wax is warm enough."""
        window, now = self.recipe.fragrance.add_between, self.wax_mdegc(where.at_us)
        if not self._scented_cool or window is None or self.progress.stage is not Stage.BLEND:
            return []
        if now is None or now < window.low_mdegc:
            return []
        key = self._key(rules.FRAGRANCE_TEMPERATURE)
        return list(self._book.clear(where, key, f"warmed to {self.display.degrees(now)}"))

    def close(self, where: Where) -> list[AnyDerived]:
        """End the lot at the bench: what is missing becomes a deviation."""
        events = self._conclude(where, self.recognizer.finish())
        current = self.procedure.current
        if current is not None:
            poured = current == Phase.POUR and self._poured_us
            source = self.procedure.runs[current].source
            events += self.procedure.end(where, current, poured or where.at_us, source)
        filled = self.progress.filled
        if Phase.POUR in self.procedure.runs and filled < self.vessels:
            violation = rules.skipped_vessels(filled, self.vessels)
            events += self._book.raise_alarm(where, self._skip_key(Phase.POUR), violation)
        events += self._marked.judge(where, events)
        events += self._marked.close(where, self.procedure.missing_before(Phase.SET))
        events += self._skip(where, self._missing_before(Phase.SET), closing=True)
        if Phase.SET in self.recipe.phases:
            since = self._poured_us or where.at_us
            events += self.procedure.begin(where, Phase.SET, since, Source.SCALE)
        return events

    # ------------------------------------------------------------ what others ask

    def unanswered(self, rule: str, phase: PhaseName | None = None) -> bool:
        """Tell whether an alarm of this pitcher stands that nobody has acknowledged."""
        return self._book.unseen(AlarmKey(rule, self.procedure.pitcher, subject=phase))

    def wax_mdegc(self, at_us: int) -> int | None:
        """Return the pitcher's temperature (0.001 °C), None where no probe tells."""
        probe = self._thermometers.get(Role.PITCHER)
        return probe.at(at_us) if probe is not None else None

    @property
    def vessel_us(self) -> int | None:
        """How long a vessel of this pitcher takes, by those filled so far; None before two."""
        run = self.procedure.runs.get(Phase.POUR)
        filled = self.progress.filled - self.progress.vessels_due(self.progress.pitcher - 1)
        if run is None or self._poured_us is None or filled < 2:
            return None
        return (self._poured_us - run.began_us) // filled

    def room_mdegc(self, at_us: int) -> int | None:
        """Return the room's temperature (0.001 °C), None where no probe tells."""
        room = self._thermometers.get(Role.ROOM)
        return room.mean(at_us) if room is not None else None

    def wax_now(self, at_us: int) -> advice.WaxNow:
        """Return the pitcher's temperature and what its curve lets expect."""
        probe = self._thermometers.get(Role.PITCHER)
        outlook = probe.outlook(at_us, self.room_mdegc(at_us)) if probe is not None else None
        return advice.WaxNow(self.wax_mdegc(at_us), outlook, at_us)

    def wax_ahead(self, mdegc: int, at_us: int) -> Span | None:
        """Return how long after `at_us` the pitcher's probe shows a temperature (0.001 °C).

        None where it will not, or where that cannot be told; `wax_now(at_us).until` says why.
        """
        span = self.wax_now(at_us).until(mdegc)
        return span if isinstance(span, Span) else None

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
        if begun.kind is WeighingKind.FRAGRANCE and not begun.apart:
            events += self._scent(where, begun.at_us)
        return events

    def _tipped(self, where: Where, tipped: Tipped) -> list[AnyDerived]:
        """Judge fragrance that was weighed apart by the moment it goes into the wax."""
        if tipped.settled_us is None:
            return self._scent(where, tipped.began_us)
        self._stir.scented(where.at_us, tipped.settled_us)
        return []

    def _wax_then(self, where: Where, at_us: int) -> int | None:
        """Return the wax's temperature when an addition began; who types tells it on the way."""
        return self.wax_mdegc(where.at_us if self._typed else at_us)

    def _take_back(self, where: Where, mistaken: Mistaken) -> list[AnyDerived]:
        """Let a phase that the scale seemed to see count as not done."""
        phase = PHASE_OF[mistaken.kind]
        run = self.procedure.runs.get(phase)
        if run is None or run.source is Source.MARK:
            return []
        events = self.procedure.end(where, phase, run.began_us, Source.SCALE)
        self.procedure.forget(phase)
        return list(events)

    def _scent(self, where: Where, at_us: int) -> list[AnyDerived]:
        """Judge the fragrance's temperature; what was stirred before it does not count."""
        events: list[AnyDerived] = []
        if Phase.STIR in self.procedure.runs:
            events += self.procedure.end(where, Phase.STIR, at_us, Source.SCALE)
            self.procedure.forget(Phase.STIR)
        self._stir.undo()
        mdegc = self._wax_then(where, at_us)
        if mdegc is None:
            return events
        violation = rules.fragrance_temperature(self.recipe, mdegc, self.display)
        window = self.recipe.fragrance.add_between
        self._scented_cool = window is not None and mdegc < window.low_mdegc
        if violation is not None:
            key = self._key(rules.FRAGRANCE_TEMPERATURE)
            events += self._book.raise_alarm(where, key, violation)
        return events

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
        events += self._judge_grams(where, weighed)
        if weighed.pitcher != self.procedure.pitcher:
            return events
        if weighed.kind is WeighingKind.FILL:
            self._poured_us = weighed.settled_us
            if self.progress.filled < self.progress.vessels_due(weighed.pitcher):
                return events
            events += self._leave_behind(where, weighed.pitcher)
        if weighed.kind is WeighingKind.FRAGRANCE:
            self._stir.scented(where.at_us, weighed.settled_us)
        phase = PHASE_OF[weighed.kind]
        return events + self.procedure.end(
            where, phase, weighed.settled_us, Source.SCALE, rests_on=weighed.evidence
        )

    def _leave_behind(self, where: Where, pitcher: int) -> list[AnyDerived]:
        """Clear what was wrong with a pitcher that is poured: nothing can be done about it now."""
        late = [AlarmKey(rule, pitcher) for rule in rules.OF_A_PITCHER]
        return [e for key in late for e in self._book.clear(where, key, "the pitcher was poured")]

    def _judge_grams(self, where: Where, weighed: Weighed) -> list[AnyDerived]:
        rule, _phase = rules.GRAMS_RULES[weighed.kind]
        key = AlarmKey(rule, weighed.pitcher, weighed.vessel)
        if weighed.expected.met_by(weighed.mass_mg):
            now = self.display.grams(weighed.mass_mg)
            return list(self._book.clear(where, key, f"put right: now {now}"))
        words = self._grams_words(where, weighed)
        violation = rules.grams(weighed.kind, weighed.expected, weighed.mass_mg, words)
        return list(self._book.raise_alarm(where, key, violation))

    def _grams_words(self, where: Where, weighed: Weighed) -> advice.Words:
        expected, mass = weighed.expected, weighed.mass_mg
        mixed, pot = self._mixed(weighed), self.pot.while_at(weighed.pitcher)
        if weighed.kind is WeighingKind.WAX:
            return mix_advice.wax_grams(self.recipe, mixed, expected, mass, self.display, pot)
        if weighed.kind is WeighingKind.FRAGRANCE:
            return mix_advice.fragrance_grams(
                self.recipe, mixed, self.wax_now(where.at_us), self.display, pot
            )
        vessel = weighed.vessel or self.progress.filled
        words = advice.fill_grams(vessel, self.vessels, expected, mass, self.display)
        short = mix_advice.mix_short(self.recipe, mixed) if mass < expected.target_mg else ""
        return msgspec.structs.replace(words, advice=words.advice + short)

    def _mixed(self, weighed: Weighed) -> Mixed:
        """Return what is in the pitcher that a weighing belongs to, as far as it was weighed."""
        progress, sheet = self.progress, self.sheet.pitchers[weighed.pitcher - 1]
        wax_mg, fragrance_mg = progress.drawn_mg, progress.fragrance_mg
        if weighed.kind is WeighingKind.WAX:
            wax_mg = weighed.mass_mg
        elif weighed.kind is WeighingKind.FRAGRANCE:
            fragrance_mg = weighed.mass_mg
        return mixed_of(self.recipe, sheet, wax_mg, fragrance_mg)

    # ------------------------------------------------------------ phases

    def _begin(
        self,
        where: Where,
        phase: PhaseName,
        began_us: int,
        source: Source,
        rests_on: Evidence | None = None,
    ) -> list[AnyDerived]:
        events: list[AnyDerived] = []
        for missing in self._missing_before(phase)[:1]:
            key = self._order_key(missing)
            events += self._book.raise_alarm(where, key, rules.phase_order(phase, missing))
        events += self._book.clear(where, self._order_key(phase), "done after all")
        events += self._book.clear(where, self._skip_key(phase), "done after all")
        return events + list(
            self.procedure.begin(where, phase, began_us, source, rests_on=rests_on)
        )

    def _begin_pour(
        self, where: Where, began_us: int, source: Source, rests_on: Evidence | None = None
    ) -> list[AnyDerived]:
        run = self.procedure.runs.get(Phase.POUR)
        if run is not None and run.ended_us is None:
            return self._judge_pour_temperature(where, began_us)
        events: list[AnyDerived] = []
        if run is None:
            events += self._stir.settle(where, self.procedure, began_us)
            events += self._skip(where, self._missing_before(Phase.POUR), closing=False)
        events += self.procedure.begin(where, Phase.POUR, began_us, source, rests_on=rests_on)
        return events + self._judge_pour_temperature(where, began_us)

    def _judge_pour_temperature(self, where: Where, at_us: int) -> list[AnyDerived]:
        mdegc = self._wax_then(where, at_us)
        if mdegc is None:
            return []
        violation = rules.pour_temperature(self.recipe, mdegc, self.display)
        if violation is None:
            return []
        return list(self._book.raise_alarm(where, self._key(rules.POUR_TEMPERATURE), violation))

    def _mark_end(self, where: Where, phase: PhaseName) -> list[AnyDerived]:
        events: list[AnyDerived] = []
        if phase not in self.procedure.runs:
            began = self._stir.scented_us if phase == Phase.STIR else None
            events += self._begin(where, phase, began or where.at_us, Source.MARK)
        events += self.procedure.end(where, phase, where.at_us, Source.MARK)
        if phase == Phase.STIR:
            events += self._stir.judge(where, self.procedure, at_most=False)
        return events

    def _missing_before(self, phase: PhaseName) -> tuple[PhaseName, ...]:
        return self._marked.expected(self.procedure.missing_before(phase), self.procedure.pitcher)

    def _skip(
        self, where: Where, missing: Sequence[PhaseName], *, closing: bool
    ) -> list[AnyDerived]:
        events: list[AnyDerived] = []
        if Phase.ADD_FRAGRANCE in missing:  # one cause, one alarm: there was nothing to stir in
            missing = [phase for phase in missing if phase != Phase.STIR]
        for phase in missing:
            key = self._skip_key(phase)
            violation = self._skipped(where, phase, closing=closing)
            events += self._book.raise_alarm(where, key, violation)
            events += self._book.fold(where, self._order_key(phase), key)
            if phase == Phase.ADD_FRAGRANCE:
                events += self._book.fold(where, self._key(rules.FRAGRANCE_TEMPERATURE), key)
        return events

    def _skipped(self, where: Where, phase: PhaseName, *, closing: bool) -> rules.Violation:
        if phase in self._marked:
            return skipped(phase, closing=closing)
        words = advice.skipped(phase, self.recipe, closing=closing)
        if phase == Phase.ADD_FRAGRANCE and not closing:
            wax_mg, mdegc = self.progress.drawn_mg, self.wax_mdegc(where.at_us)
            words = mix_advice.unscented(self.recipe, wax_mg, mdegc, self.display)
        return rules.skipped_phase(phase, words)

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
        if self.progress.stage is not Stage.BLEND:
            return []
        scale = self.recognizer.scale
        load = Load.PITCHER if self.recognizer.pitcher_rests else Load.NOTHING
        shown = self.recognizer.scene.pitcher_shown
        seen = self._stir.watch(where.at_us, scale, load, pitcher_seen=shown)
        run = self.procedure.runs.get(Phase.STIR)
        if seen is None or (run is not None and run.source is Source.MARK):
            return []
        return self._saw_stirring(where, seen)

    def _saw_stirring(self, where: Where, seen: Stirred) -> list[AnyDerived]:
        if seen.ended_us is None:
            return self._begin(where, Phase.STIR, seen.began_us, Source.SCALE)
        events: list[AnyDerived] = []
        events += self.procedure.end(where, Phase.STIR, seen.ended_us, Source.SCALE)
        if self.recognizer.adding:  # it was no stirring, but the rest of the fragrance
            self.procedure.forget(Phase.STIR)
            return events
        return events + self._stir.judge(where, self.procedure, at_most=True)

    # ------------------------------------------------------------ keys

    def _key(self, rule: str) -> AlarmKey:
        return AlarmKey(rule, self.procedure.pitcher)

    def _order_key(self, phase: PhaseName) -> AlarmKey:
        return AlarmKey(rules.PHASE_ORDER, self.procedure.pitcher, subject=phase)

    def _skip_key(self, phase: PhaseName) -> AlarmKey:
        return AlarmKey(rules.SKIPPED_PHASE, self.procedure.pitcher, subject=phase)


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
