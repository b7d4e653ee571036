"""The phases that only a mark can tell: preparing, and those that a recipe adds.

A maker who never marks anything is not asked about them while she works; what the recipe lists
and nobody marked is one quiet deviation at the end. One mark in a lot says that she does mark,
and from then on they are expected like every other phase.

Those before the wax is drawn happen once for the whole lot, later ones with every pitcher.
"""

from collections.abc import Iterable, Sequence

from collector import advice, own_rules, rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.conclusions import PhaseEnded
from collector.display import duration
from collector.events import AnyDerived
from collector.phases import Phase, PhaseName
from collector.procedure import Procedure, Where
from collector.recipes import Recipe


class MarkedPhases:
    """Judges the marked phases of one lot: whether they came, and how long they lasted."""

    def __init__(self, recipe: Recipe, book: AlarmBook) -> None:
        self._book = book
        self._own = {own.name: own for own in recipe.own_phases}
        self._names = {Phase.PREPARE, *self._own}
        self._once = recipe.order[: recipe.order.index(Phase.DRAW_WAX)]
        self._marking = False

    def __contains__(self, phase: PhaseName) -> bool:
        return phase in self._names

    def marked(self) -> None:
        """Take note that this maker marks what she does."""
        self._marking = True

    def expected(self, missing: Iterable[PhaseName], pitcher: int) -> tuple[PhaseName, ...]:
        """Return those of a pitcher's missing phases that can be told to be missing now."""
        if pitcher > 1:
            missing = [phase for phase in missing if phase not in self._once]
        return tuple(phase for phase in missing if self._marking or phase not in self)

    def close(self, where: Where, missing: Sequence[PhaseName]) -> list[AnyDerived]:
        """Say once what a lot that nobody marked cannot tell."""
        silent = [phase for phase in missing if phase in self]
        if self._marking or not silent:
            return []
        key = AlarmKey(rules.SKIPPED_PHASE, subject="marks")
        return list(self._book.raise_alarm(where, key, own_rules.unmarked_phases(silent)))

    def judge(self, where: Where, events: Iterable[AnyDerived]) -> list[AnyDerived]:
        """Judge how long the own phases lasted that ended with these events."""
        ended = (e for e in events if isinstance(e, PhaseEnded) and e.phase in self._own)
        return [found for end in ended for found in self._judge_end(where, end)]

    def _judge_end(self, where: Where, ended: PhaseEnded) -> list[AnyDerived]:
        key = AlarmKey(rules.PHASE_DURATION, ended.pitcher, subject=ended.phase)
        violation = own_rules.phase_too_short(self._own[ended.phase], ended.duration_us)
        if violation is not None:
            return list(self._book.raise_alarm(where, key, violation))
        outcome = f"ended after {duration(ended.duration_us)}"
        return list(self._book.clear(where, key, outcome))

    def tick(self, where: Where, procedure: Procedure) -> list[AnyDerived]:
        """Let time pass: an own phase may go on for too long, or have made up what it lacked."""
        own = self._own.get(procedure.current or "") if self._own else None
        if own is None:
            return []
        lasted_us = procedure.runs[own.name].lasted_us(where.at_us)
        key = AlarmKey(rules.PHASE_DURATION, procedure.pitcher, subject=own.name)
        violation = own_rules.phase_too_long(own, lasted_us)
        if violation is not None:
            return list(self._book.raise_alarm(where, key, violation))
        if own_rules.phase_too_short(own, lasted_us) is not None:
            return []
        return list(self._book.clear(where, key, f"gone on to {duration(lasted_us)}"))


def skipped(phase: PhaseName, *, closing: bool) -> rules.Violation:
    """Return the violation of a marked phase that a maker who marks did not mark."""
    return own_rules.skipped_mark(phase, advice.skipped_mark(phase, closing=closing))
