"""What the bench concluded of one lot, held against what truly happened.

A true phase is recalled if the service has a phase of that name for that pitcher that overlaps
it in time; a phase of the service is precise if it overlaps a true one. Wax that is stirred
though its fragrance was forgotten is no stir, and none is held against the service.

An alarm finds a mishap of the same rule, phase, pitcher, vessel and instrument, as far as the
mishap has them; one that finds none, and is no plain consequence of one, is a nuisance. A delay
is the alarm's time less the moment at which a person at the displays could have known; an early
alarm counts as 0.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from trial_desk import seconds
from trial_forecast import Forecast

from collector.alarm_events import AlarmFolded, AlarmRaised
from collector.conclusions import (
    PhaseBegan,
    PhaseEnded,
    PhaseWithdrawn,
    WeighingAccepted,
    WeighingWithdrawn,
)
from collector.events import AnyDerived
from simulators.bench_model import PITCHER_PROBE
from simulators.diary import Cooling, Diary, Mass, Mishap
from simulators.faults import FaultKind

PHASES = ("draw wax", "add fragrance", "stir", "pour")
LEAST_WITHIN_G = 0.3
LONG_COOLING_S = 180.0
HALF_WAY_S = 6.0
"""A forecast counts for the half way if it was given within this time of it."""

ANY_PITCHER = (
    FaultKind.VESSEL_SKIPPED,
    FaultKind.PROBE_UNPLUGGED,
    FaultKind.INSTRUMENT_SILENT,
    FaultKind.POT_TOO_HOT,
)
"""Mishaps that belong to the whole lot: their alarm may name any pitcher or none."""

CONSEQUENCES = {
    # The second helping chills the wax, and by then it may have cooled out of the window.
    FaultKind.FRAGRANCE_TWICE: ("fragrance-temperature",),
}


@dataclass(frozen=True)
class Eta:
    """One cooling: whether the interval held the truth, and its width over what it predicted."""

    covered: bool
    width: float


@dataclass(frozen=True)
class Caught:
    """A planted fault and how late its alarm came, seconds; None is missed."""

    kind: str
    delay_s: float | None


@dataclass
class Score:
    """One lot, or many added up. Counts of phases are by name."""

    lots: int = 0
    true_phases: dict[str, int] = field(default_factory=lambda: dict.fromkeys(PHASES, 0))
    recalled: dict[str, int] = field(default_factory=lambda: dict.fromkeys(PHASES, 0))
    told_phases: dict[str, int] = field(default_factory=lambda: dict.fromkeys(PHASES, 0))
    precise: dict[str, int] = field(default_factory=lambda: dict.fromkeys(PHASES, 0))
    weighings: int = 0
    within: int = 0
    errors_g: list[float] = field(default_factory=list)
    faults: list[Caught] = field(default_factory=list)
    nuisances: list[str] = field(default_factory=list)
    coolings: int = 0
    etas: list[Eta] = field(default_factory=list)
    asked: bool = False
    problems: list[str] = field(default_factory=list)


def score_lot(
    diary: Diary,
    events: Sequence[AnyDerived],
    division_g: float,
    forecasts: Sequence[Forecast] = (),
) -> Score:
    """Score one lot; `division_g` is the scale's."""
    score = Score(lots=1)
    _score_phases(score, diary, told_spans(events, diary.closed_s or 0.0))
    _score_weighings(score, diary.masses.values(), events, max(division_g, LEAST_WITHIN_G))
    _score_alarms(score, diary.mishaps, events)
    _score_forecasts(score, diary, forecasts)
    return score


# ------------------------------------------------------------ phases

Span = tuple[float, float]
PhaseKey = tuple[str, int]


def told_spans(events: Iterable[AnyDerived], closed_s: float) -> dict[PhaseKey, Span]:
    """Return what the service finally says of each phase and pitcher, as its record would."""
    spans: dict[PhaseKey, Span] = {}
    for event in events:
        if isinstance(event, PhaseBegan) and event.phase in PHASES:
            spans[event.phase, event.pitcher] = (seconds(event.began_us), closed_s)
        elif isinstance(event, PhaseEnded) and event.phase in PHASES:
            span = (seconds(event.began_us), seconds(event.ended_us))
            spans[event.phase, event.pitcher] = span
        elif isinstance(event, PhaseWithdrawn):
            spans.pop((event.phase, event.pitcher), None)
    return spans


def _score_phases(score: Score, diary: Diary, told: dict[PhaseKey, Span]) -> None:
    nothing_to_stir = {
        ("stir", mishap.pitcher)
        for mishap in diary.mishaps
        if mishap.kind is FaultKind.FRAGRANCE_SKIPPED
    }
    happened = {
        key: (phase.began_s, phase.ended_s)
        for key, phase in diary.phases.items()
        if key not in nothing_to_stir
    }
    told = {key: span for key, span in told.items() if key not in nothing_to_stir}
    for name, _pitcher in happened:
        score.true_phases[name] += 1
    for (name, pitcher), span in told.items():
        score.told_phases[name] += 1
        if _overlap(span, happened.get((name, pitcher))):
            score.precise[name] += 1
        else:
            score.problems.append(f"told {name} of pitcher {pitcher}, which was not then")
    for key, span in happened.items():
        if _overlap(span, told.get(key)):
            score.recalled[key[0]] += 1
        else:
            score.problems.append(f"missed {key[0]} of pitcher {key[1]} at {span[0]:.0f} s")


def _overlap(one: Span, other: Span | None) -> bool:
    return other is not None and one[0] <= other[1] and other[0] <= one[1]


# ------------------------------------------------------------ weighings


def _score_weighings(
    score: Score, true: Iterable[Mass], events: Iterable[AnyDerived], tolerance_g: float
) -> None:
    told: dict[tuple[str, int, int | None], float] = {}
    for event in events:
        if isinstance(event, WeighingAccepted):
            told[event.kind.value, event.pitcher, event.vessel] = event.mass_mg / 1000
        elif isinstance(event, WeighingWithdrawn):
            told.pop((event.kind.value, event.pitcher, event.vessel), None)
    for mass in true:
        score.weighings += 1
        grams = told.get((mass.kind, mass.pitcher, mass.vessel))
        if grams is not None:
            score.errors_g.append(abs(grams - mass.grams))
        if grams is not None and abs(grams - mass.grams) <= tolerance_g + 1e-9:
            score.within += 1
            continue
        where = f"{mass.kind} of pitcher {mass.pitcher}, vessel {mass.vessel}"
        said = "never" if grams is None else f"{grams:.1f} g"
        score.problems.append(f"weighed {where} at {mass.at_s:.0f} s: {mass.grams:.1f} g, {said}")


# ------------------------------------------------------------ alarms


def _score_alarms(score: Score, mishaps: Sequence[Mishap], events: Sequence[AnyDerived]) -> None:
    folded = {event.alarm for event in events if isinstance(event, AlarmFolded)}
    alarms = [e for e in events if isinstance(e, AlarmRaised) and e.alarm not in folded]
    for mishap in mishaps:
        raised_s = [seconds(alarm.at_us) for alarm in alarms if _finds(alarm, mishap)]
        delay_s = _delay_s(mishap, raised_s)
        score.faults.append(Caught(mishap.kind.value, delay_s))
        if delay_s is None:
            score.problems.append(f"no alarm for: {mishap.what} ({mishap.noted_s:.0f} s)")
        elif delay_s > 3.0:
            score.problems.append(f"{delay_s:.1f} s late: {mishap.what} ({mishap.noted_s:.0f} s)")
    for alarm in alarms:
        if not any(_finds(alarm, mishap) or _follows(alarm, mishap) for mishap in mishaps):
            score.nuisances.append(alarm.rule)
            at_s = seconds(alarm.at_us)
            score.problems.append(f"nobody planted {alarm.rule} at {at_s:.0f} s: {alarm.message}")


def _finds(alarm: AlarmRaised, mishap: Mishap) -> bool:
    return (
        alarm.rule == mishap.expected.rule
        and mishap.expected.phase in {None, alarm.phase}
        and (mishap.kind in ANY_PITCHER or alarm.pitcher == mishap.pitcher)
        and mishap.vessel in {None, alarm.vessel}
        and mishap.subject in {None, alarm.subject}
    )


def _follows(alarm: AlarmRaised, mishap: Mishap) -> bool:
    same = alarm.pitcher == mishap.pitcher
    return same and alarm.rule in CONSEQUENCES.get(mishap.kind, ())


def _delay_s(mishap: Mishap, raised_s: Sequence[float]) -> float | None:
    if not raised_s or mishap.evident_s is None:
        return None
    return max(0.0, min(raised_s) - mishap.evident_s)


# ------------------------------------------------------------ forecasts


def _unseen(cooling: Cooling, mishaps: Sequence[Mishap]) -> bool:
    """Tell whether the pitcher's thermometer was lost on the way: nothing can be foretold then."""
    return any(
        mishap.subject == PITCHER_PROBE and cooling.began_s <= mishap.noted_s <= cooling.passed_s
        for mishap in mishaps
    )


def _score_forecasts(score: Score, diary: Diary, forecasts: Sequence[Forecast]) -> None:
    score.asked = bool(forecasts)
    for cooling in diary.coolings:
        if cooling.passed_s - cooling.began_s < LONG_COOLING_S or _unseen(cooling, diary.mishaps):
            continue
        score.coolings += 1
        half_s = (cooling.began_s + cooling.passed_s) / 2
        near = [
            said
            for said in forecasts
            if said.degc == cooling.degc and abs(said.asked_s - half_s) <= HALF_WAY_S
        ]
        if near:
            said = min(near, key=lambda each: abs(each.asked_s - half_s))
            covered = said.soonest_s <= cooling.passed_s <= said.latest_s
            ahead_s = max(1.0, said.likely_s - said.asked_s)
            score.etas.append(Eta(covered, (said.latest_s - said.soonest_s) / ahead_s))
