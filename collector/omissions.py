"""Phases of one lot that came before their turn, or not at all."""

from collections.abc import Sequence

from collector import advice, mix_advice, rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.display import Display
from collector.events import AnyDerived
from collector.lot_heat import LotHeat
from collector.marked_phases import MarkedPhases, skipped
from collector.phases import Phase, PhaseName
from collector.procedure import Procedure, Where
from collector.progress import Progress
from collector.recipes import Recipe


class Omissions:
    """Tells which phases of one lot were skipped, and which came out of order."""

    def __init__(  # noqa: PLR0913 - one for each thing that advice rests on
        self,
        recipe: Recipe,
        display: Display,
        *,
        progress: Progress,
        heat: LotHeat,
        marked: MarkedPhases,
        book: AlarmBook,
    ) -> None:
        self._recipe = recipe
        self._display = display
        self._progress = progress
        self._heat = heat
        self._marked = marked
        self._book = book

    def missing_before(self, procedure: Procedure, phase: PhaseName) -> tuple[PhaseName, ...]:
        """Return what should have come before a phase, as far as it can be told to be missing."""
        return self._marked.expected(procedure.missing_before(phase), procedure.pitcher)

    def begun(self, where: Where, procedure: Procedure, phase: PhaseName) -> list[AnyDerived]:
        """Judge the order in which a phase began; what was said to be skipped is no more."""
        pitcher, events = procedure.pitcher, list[AnyDerived]()
        for missing in self.missing_before(procedure, phase)[:1]:
            key = _order_key(pitcher, missing)
            events += self._book.raise_alarm(where, key, rules.phase_order(phase, missing))
        events += self._book.clear(where, _order_key(pitcher, phase), "done after all")
        return events + list(self._book.clear(where, _skip_key(pitcher, phase), "done after all"))

    def poured(self, where: Where, procedure: Procedure) -> list[AnyDerived]:
        """Tell what is missing now that the pour begins."""
        missing = self.missing_before(procedure, Phase.POUR)
        return self._skip(where, procedure.pitcher, missing, closing=False)

    def unscented(self, where: Where, procedure: Procedure) -> list[AnyDerived]:
        """Tell that there was no fragrance after all, while the pour goes on."""
        stir = _skip_key(procedure.pitcher, Phase.STIR)
        events: list[AnyDerived] = []
        events += self._book.clear(where, stir, "there was nothing to stir in")
        return events + self.poured(where, procedure)

    def closed(self, where: Where, procedure: Procedure) -> list[AnyDerived]:
        """Tell what is missing at the end, and which vessels."""
        events, filled = list[AnyDerived](), self._progress.filled
        vessels = self._progress.targets.vessels
        if Phase.POUR in procedure.runs and filled < vessels:
            key = _skip_key(procedure.pitcher, Phase.POUR)
            events += self._book.raise_alarm(where, key, rules.skipped_vessels(filled, vessels))
        events += self._marked.close(where, procedure.missing_before(Phase.SET))
        missing = self.missing_before(procedure, Phase.SET)
        return events + self._skip(where, procedure.pitcher, missing, closing=True)

    def taken_back(self, where: Where, procedure: Procedure, why: str) -> list[AnyDerived]:
        """Take back what was missing when the pour began: it has not begun."""
        keys = [_skip_key(procedure.pitcher, phase) for phase in procedure.at_the_bench]
        return [event for key in keys for event in self._book.clear(where, key, why)]

    def _skip(
        self, where: Where, pitcher: int, missing: Sequence[PhaseName], *, closing: bool
    ) -> list[AnyDerived]:
        events: list[AnyDerived] = []
        if Phase.ADD_FRAGRANCE in missing:  # one cause, one alarm: there was nothing to stir in
            missing = [phase for phase in missing if phase != Phase.STIR]
        for phase in missing:
            key = _skip_key(pitcher, phase)
            violation = self._skipped(where, phase, closing=closing)
            events += self._book.raise_alarm(where, key, violation)
            events += self._book.fold(where, _order_key(pitcher, phase), key)
            if phase == Phase.ADD_FRAGRANCE:
                heat = AlarmKey(rules.FRAGRANCE_TEMPERATURE, pitcher)
                events += self._book.fold(where, heat, key)
        return events

    def _skipped(self, where: Where, phase: PhaseName, *, closing: bool) -> rules.Violation:
        if phase in self._marked:
            return skipped(phase, closing=closing)
        words = advice.skipped(phase, self._recipe, closing=closing)
        if phase == Phase.ADD_FRAGRANCE and not closing:
            wax_mg, mdegc = self._progress.drawn_mg, self._heat.wax_mdegc(where.at_us)
            words = mix_advice.unscented(self._recipe, wax_mg, mdegc, self._display)
        return rules.skipped_phase(phase, words)


def _order_key(pitcher: int, phase: PhaseName) -> AlarmKey:
    return AlarmKey(rules.PHASE_ORDER, pitcher, subject=phase)


def _skip_key(pitcher: int, phase: PhaseName) -> AlarmKey:
    return AlarmKey(rules.SKIPPED_PHASE, pitcher, subject=phase)
