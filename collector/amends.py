"""What is told where a mark is taken back: the way from what was told to what would have been.

Both begin alike and part at the mark. What was told and would not have been is withdrawn, what
was not is told now; the journal keeps both. Whoever folds the journal afterwards has what she
would have without the mark.
"""

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import msgspec

from collector.alarm_events import (
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmReleased,
    AlarmRestored,
    AlarmSuppressed,
)
from collector.conclusions import (
    PhaseBegan,
    PhaseEnded,
    PhaseWithdrawn,
    WeighingAccepted,
    WeighingKind,
    WeighingWithdrawn,
)
from collector.events import AnyDerived
from collector.phases import PhaseName
from collector.procedure import Where
from collector.scents_apart import scents_apart

WITHDRAWN = "taken back: "
"""So begins the outcome of an alarm that rested on what turned out not to be."""

TAKEN_BACK = f"{WITHDRAWN}the mark was made by mistake"

E = TypeVar("E", bound=AnyDerived)

Life = list[PhaseBegan | PhaseEnded]
Weighed = tuple[WeighingKind, int, int | None]
About = tuple[str, int | None, int | None, str | None]


class Amends(msgspec.Struct, frozen=True):
    """What to tell, and what becomes of the alarms that were raised since the mark.

    `names` are those that would have been raised too, by the name that they would have had, each
    with the name under which it is known; `dropped` are those that would not have been, and
    `unsaid` those that would, but mean nothing any more.
    """

    events: tuple[AnyDerived, ...]
    names: Mapping[str, str]
    dropped: frozenset[str]
    unsaid: frozenset[str]


@dataclass
class Fate:
    """One alarm as the bench left it."""

    raised: AlarmRaised
    over: AlarmCleared | AlarmFolded | None = None
    suppressed: AlarmSuppressed | None = None

    @property
    def about(self) -> About:
        """What makes another violation the same alarm."""
        raised = self.raised
        return raised.rule, raised.pitcher, raised.vessel, raised.subject


def amends(
    where: Where, told: Sequence[AnyDerived], retold: Sequence[AnyDerived], latched: Container[str]
) -> Amends:
    """Return what leads from all that was told of a lot to all that would have been.

    `latched` are the alarms that wait for a reset as it was told.
    """
    names = _names(told, retold)
    would = [_named(event, names) for event in retold]
    ours, theirs = _fates(told), _fates(would)
    events: list[AnyDerived] = [*_phases(where, told, would), *_weighings(where, told, would)]
    events += _apart(where, [*told, *events], would)
    unsaid = _unsaid(ours, theirs)
    for alarm, fate in theirs.items():
        if alarm not in unsaid:
            events += _amended(where, ours.get(alarm), fate)
    dropped = frozenset(ours.keys() - theirs.keys())
    instead = {fate.about: alarm for alarm, fate in theirs.items() if fate.over is None}
    for alarm in (alarm for alarm in ours if alarm in dropped):
        events += _dropped(where, ours[alarm], instead, latched)
    return Amends(tuple(events), names, dropped, unsaid)


# ---------------------------------------------------------------- phases and weighings


def _phases(
    where: Where, told: Iterable[AnyDerived], would: Iterable[AnyDerived]
) -> Iterable[AnyDerived]:
    ours, theirs = _lives(told), _lives(would)
    changed = [key for key in dict.fromkeys([*ours, *theirs]) if _other(ours, theirs, key)]
    for phase, pitcher in (key for key in changed if key in ours):
        yield PhaseWithdrawn(
            at_us=where.at_us, bench=where.bench, lot=where.lot, phase=phase, pitcher=pitcher
        )
    for key in changed:
        yield from (_now(where, event) for event in theirs.get(key, ()))


def _lives(events: Iterable[AnyDerived]) -> dict[tuple[PhaseName, int], Life]:
    """Return what holds of each phase of each pitcher."""
    lives: dict[tuple[PhaseName, int], Life] = {}
    for event in events:
        if isinstance(event, PhaseBegan | PhaseEnded):
            lives.setdefault((event.phase, event.pitcher), []).append(event)
        elif isinstance(event, PhaseWithdrawn):
            lives.pop((event.phase, event.pitcher), None)
    return lives


def _other(
    ours: Mapping[tuple[PhaseName, int], Life],
    theirs: Mapping[tuple[PhaseName, int], Life],
    key: tuple[PhaseName, int],
) -> bool:
    one, other = ([_timeless(event) for event in lives.get(key, ())] for lives in (ours, theirs))
    return one != other


def _weighings(
    where: Where, told: Iterable[AnyDerived], would: Iterable[AnyDerived]
) -> Iterable[AnyDerived]:
    ours, theirs = _masses(told), _masses(would)
    changed = [
        key
        for key in dict.fromkeys([*ours, *theirs])
        if _timeless(ours.get(key)) != _timeless(theirs.get(key))
    ]
    for kind, pitcher, vessel in (key for key in changed if key in ours):
        yield WeighingWithdrawn(
            at_us=where.at_us,
            bench=where.bench,
            lot=where.lot,
            kind=kind,
            pitcher=pitcher,
            vessel=vessel,
        )
    yield from (_now(where, theirs[key]) for key in changed if key in theirs)


def _masses(events: Iterable[AnyDerived]) -> dict[Weighed, WeighingAccepted]:
    """Return the last word on each weighing."""
    masses: dict[Weighed, WeighingAccepted] = {}
    for event in events:
        if isinstance(event, WeighingAccepted):
            masses[event.kind, event.pitcher, event.vessel] = event
        elif isinstance(event, WeighingWithdrawn):
            masses.pop((event.kind, event.pitcher, event.vessel), None)
    return masses


def _apart(
    where: Where, told: Iterable[AnyDerived], would: Iterable[AnyDerived]
) -> Iterable[AnyDerived]:
    ours = scents_apart(told)
    for pitcher, apart in scents_apart(would).items():
        if _timeless(ours.get(pitcher)) != _timeless(apart):
            yield _now(where, apart)


# ---------------------------------------------------------------- alarms


def _names(told: Iterable[AnyDerived], retold: Iterable[AnyDerived]) -> dict[str, str]:
    """Return which of the alarms since the mark say the same, each with the name it was told by.

    Where several do, those that stand belong together: what a person said of one holds on.
    """
    ours, theirs = _fates(told), _fates(retold)
    known: dict[AlarmRaised, list[str]] = defaultdict(list)
    for alarm in _standing_first(ours, but=theirs):
        known[_nameless(ours[alarm].raised)].append(alarm)
    names: dict[str, str] = {}
    for alarm in _standing_first(theirs, but=ours):
        same = known[_nameless(theirs[alarm].raised)]
        if same:
            names[alarm] = same.pop(0)
    return names


def _standing_first(fates: Mapping[str, Fate], but: Container[str]) -> list[str]:
    alarms = [alarm for alarm in fates if alarm not in but]
    return sorted(alarms, key=lambda alarm: fates[alarm].over is not None)


def _unsaid(ours: Container[str], theirs: Mapping[str, Fate]) -> frozenset[str]:
    """Return the alarms that would have come and been withdrawn, or become part of another.

    Nothing of them is true now; only one that another alarm is part of has to be known.
    """
    ends = (end for fate in theirs.values() for end in (fate.over, fate.suppressed))
    named = {getattr(end, field, None) for end in ends for field in ("into", "by")}
    return frozenset(
        alarm
        for alarm, fate in theirs.items()
        if alarm not in ours and alarm not in named and _means_nothing(fate.over)
    )


def _means_nothing(over: AlarmCleared | AlarmFolded | None) -> bool:
    if isinstance(over, AlarmCleared):
        return over.outcome.startswith(WITHDRAWN)
    return over is not None


def _fates(events: Iterable[AnyDerived]) -> dict[str, Fate]:
    fates: dict[str, Fate] = {}
    for event in events:
        match event:
            case AlarmRaised():
                fates[event.alarm] = Fate(event)
            case AlarmCleared() | AlarmFolded():
                fates[event.alarm] = Fate(fates[event.alarm].raised, over=event)
            case AlarmRestored() | AlarmReleased():
                fates[event.alarm] = Fate(fates[event.alarm].raised)
            case AlarmSuppressed():
                fates[event.alarm] = Fate(fates[event.alarm].raised, suppressed=event)
    return fates


def _amended(where: Where, told: Fate | None, would: Fate) -> Iterable[AnyDerived]:
    """Give what leads from what became of an alarm to what would have; None is not raised."""
    if told is None:
        yield _now(where, would.raised)
        told = Fate(would.raised)
    if _ends(told) == _ends(would):
        return
    alarm = told.raised.alarm
    if told.over is not None:
        yield AlarmRestored(at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm)
    elif told.suppressed is not None:
        yield AlarmReleased(at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm)
    end = would.over or would.suppressed
    if end is not None:
        yield _now(where, end)


def _dropped(
    where: Where, fate: Fate, instead: Mapping[About, str], latched: Container[str]
) -> Iterable[AnyDerived]:
    """Give what becomes of an alarm that would not have been raised.

    Where another one about the same stands now, it is part of that one.
    """
    alarm, into = fate.raised.alarm, instead.get(fate.about)
    if fate.over is not None and (into is None or alarm not in latched):
        return
    if into is not None:
        yield AlarmFolded(
            at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm, into=into
        )
    else:
        yield AlarmCleared(
            at_us=where.at_us, bench=where.bench, lot=where.lot, alarm=alarm, outcome=TAKEN_BACK
        )


def _ends(fate: Fate) -> tuple[AnyDerived | None, AnyDerived | None]:
    return _timeless(fate.over), _timeless(fate.suppressed)


# ---------------------------------------------------------------- the same at another time


def _now(where: Where, event: E) -> E:
    return msgspec.structs.replace(event, at_us=where.at_us)


def _timeless(event: E | None) -> E | None:
    return None if event is None else msgspec.structs.replace(event, at_us=0)


def _nameless(raised: AlarmRaised) -> AlarmRaised:
    return msgspec.structs.replace(raised, at_us=0, alarm="")


def _named(event: AnyDerived, names: Mapping[str, str]) -> AnyDerived:
    """Return an event with the alarms in it under the names by which they are known."""
    said = ((field, getattr(event, field, "")) for field in ("alarm", "into", "by"))
    changes = {field: names[alarm] for field, alarm in said if alarm in names}
    return msgspec.structs.replace(event, **changes) if changes else event
