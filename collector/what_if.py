"""What would have been different: a lot's record beside the one that other limits give."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from enum import StrEnum
from itertools import zip_longest
from typing import TypeVar

import msgspec

from collector.alarm_events import AlarmRaised
from collector.conclusions import WeighingAccepted, WeighingKind
from collector.lot_record import LotRecord, PhaseRun
from collector.phases import Phase, PhaseName
from collector.recipes import Recipe, Window

SAME_US = 1_000_000
"""A phase that begins or lasts this much otherwise has not changed: a scale at 5 Hz rests on
another reading. Common practice, no source."""


class Change(StrEnum):
    """How a thing differs between two judgments of the same lot."""

    NEW = "new"
    GONE = "gone"
    OTHER = "other"


class Changed(msgspec.Struct, frozen=True):
    """Something that differs; at least one of `before` and `after` is not None."""

    @property
    def change(self) -> Change:
        """Whether it is new, gone, or the same with other numbers."""
        if getattr(self, "before", None) is None:
            return Change.NEW
        return Change.GONE if getattr(self, "after", None) is None else Change.OTHER


class DeviationChanged(Changed, frozen=True):
    """A deviation under the lot's own limits and under the others."""

    before: AlarmRaised | None
    after: AlarmRaised | None

    @property
    def rule(self) -> str:
        """The rule that it belongs to."""
        return next(alarm.rule for alarm in (self.before, self.after) if alarm is not None)


class WeighingChanged(Changed, frozen=True):
    """A weighing whose mass, target, tolerance or verdict differs."""

    before: WeighingAccepted | None
    after: WeighingAccepted | None


class PhaseLimit(msgspec.Struct, frozen=True):
    """What a recipe asks of a phase: a temperature window, and seconds at least or at most."""

    window: Window | None = None
    at_least_s: int | None = None
    at_most_s: int | None = None


class PhaseChanged(Changed, frozen=True):
    """A phase of one pitcher that went otherwise, or of which something else was asked."""

    before: PhaseRun | None
    after: PhaseRun | None
    limit_before: PhaseLimit
    limit_after: PhaseLimit


class WhatIf(msgspec.Struct, frozen=True):
    """All that differs between two judgments of one lot."""

    deviations: tuple[DeviationChanged, ...] = ()
    weighings: tuple[WeighingChanged, ...] = ()
    phases: tuple[PhaseChanged, ...] = ()

    def __bool__(self) -> bool:
        """Whether anything differs."""
        return bool(self.deviations or self.weighings or self.phases)


def compare(before: LotRecord, after: LotRecord) -> WhatIf:
    """Return what differs from a lot's record to the record under other limits."""
    return WhatIf(
        tuple(_deviations(before, after)),
        tuple(_weighings(before, after)),
        tuple(_phases(before, after)),
    )


def met(weighing: WeighingAccepted) -> bool:
    """Tell whether a weighing is within its tolerance."""
    return abs(weighing.mass_mg - weighing.target_mg) <= weighing.tolerance_mg


def limit_of(recipe: Recipe, phase: PhaseName) -> PhaseLimit:
    """Return what a recipe asks of a phase."""
    for own in recipe.own_phases:
        if own.name == phase:
            return PhaseLimit(None, own.at_least_s, own.at_most_s)
    limits = {
        Phase.ADD_FRAGRANCE: PhaseLimit(recipe.fragrance.add_between),
        Phase.STIR: PhaseLimit(None, recipe.stir_at_least_s),
        Phase.POUR: PhaseLimit(recipe.pour_between),
        Phase.SET: PhaseLimit(None, recipe.set_at_least_s),
        Phase.CURE: PhaseLimit(None, recipe.cure_at_least_s),
    }
    return next((limit for name, limit in limits.items() if name == phase), PhaseLimit())


def _deviations(before: LotRecord, after: LotRecord) -> Iterator[DeviationChanged]:
    ours, theirs = _by_cause(before), _by_cause(after)
    for cause in dict.fromkeys([*ours, *theirs]):
        for old, new in zip_longest(ours.get(cause, ()), theirs.get(cause, ())):
            if old is None or new is None or _told(old) != _told(new):
                yield DeviationChanged(old, new)


def _by_cause(record: LotRecord) -> Mapping[tuple[object, ...], list[AlarmRaised]]:
    """Return the deviations by what makes them comparable, each in order of time."""
    found: dict[tuple[object, ...], list[AlarmRaised]] = defaultdict(list)
    for deviation in record.deviations:
        raised = deviation.raised
        cause = (raised.rule, raised.phase, raised.pitcher, raised.vessel, raised.subject)
        found[cause].append(raised)
    return found


def _told(raised: AlarmRaised) -> tuple[object, ...]:
    return raised.message, raised.limit, raised.measured


def _weighings(before: LotRecord, after: LotRecord) -> Iterator[WeighingChanged]:
    for old, new in _paired(_weighed(before), _weighed(after)):
        if old is None or new is None or _asked(old) != _asked(new):
            yield WeighingChanged(old, new)


def _weighed(record: LotRecord) -> dict[tuple[WeighingKind, int, int | None], WeighingAccepted]:
    return {(w.kind, w.pitcher, w.vessel): w for w in record.weighings}


def _asked(weighing: WeighingAccepted) -> tuple[int, int, int]:
    return weighing.mass_mg, weighing.target_mg, weighing.tolerance_mg


def _phases(before: LotRecord, after: LotRecord) -> Iterator[PhaseChanged]:
    runs = ({(run.phase, run.pitcher): run for run in record.phases} for record in (before, after))
    for old, new in _paired(*runs):
        phase = next(run.phase for run in (old, new) if run is not None)
        limits = (limit_of(record.opened.recipe, phase) for record in (before, after))
        changed = PhaseChanged(old, new, *limits)
        if changed.limit_before != changed.limit_after or not _alike(old, new):
            yield changed


def _alike(old: PhaseRun | None, new: PhaseRun | None) -> bool:
    if old is None or new is None:
        return False
    spans = ((old.began_us, new.began_us), (old.duration_us or 0, new.duration_us or 0))
    return all(abs(one - other) < SAME_US for one, other in spans)


_Key = TypeVar("_Key")
_Thing = TypeVar("_Thing")


def _paired(
    before: Mapping[_Key, _Thing], after: Mapping[_Key, _Thing]
) -> Iterable[tuple[_Thing | None, _Thing | None]]:
    return ((before.get(key), after.get(key)) for key in dict.fromkeys([*before, *after]))
