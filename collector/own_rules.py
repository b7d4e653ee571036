"""The rules that a recipe adds: limits and phases of its own, and what only a mark can tell."""

from collections.abc import Sequence

from collector import advice
from collector.alarm_events import Bounds, Unit
from collector.display import Display
from collector.limits import LimitSpec
from collector.phases import PhaseName
from collector.priorities import Priority
from collector.recipes import OwnLimit, OwnPhase
from collector.rules import PHASE_DURATION, SLACK_S, Violation, in_manner, violation_of

OWN_DEADBAND_MDEGC = 1000
OWN_ON_US = 5_000_000
OWN_OFF_US = 10_000_000
"""Of a recipe's own limit on a temperature where it does not say otherwise: the deadband is that
of the wax's greatest temperature, the delays are long against the noise of one reading."""

RATE_DEADBAND = 500
RATE_OFF_US = 30_000_000
"""Of a limit on a rate: 0.5 °C a minute, but at most half of the bound. Noise of 0.4 °C at 1 Hz
makes a rate over a minute uncertain by 0.18 °C a minute (standard deviation of a slope:
sigma / sqrt(sum of squares of the times about their mean))."""


def own_limit(limit: OwnLimit, *, typed: bool = False) -> LimitSpec:
    """Return what an own limit on a temperature makes; 0.001 °C."""
    usual = LimitSpec(
        low=limit.low_mdegc,
        high=limit.high_mdegc,
        deadband=OWN_DEADBAND_MDEGC,
        on_delay_us=OWN_ON_US,
        off_delay_us=OWN_OFF_US,
    )
    return in_manner(usual, limit.manner, typed=typed)


def own_rate(limit: OwnLimit) -> LimitSpec:
    """Return what an own limit on a rate makes; 0.001 °C a minute, a fall is negative."""
    bounds = [bound for bound in (limit.fall_per_min, limit.rise_per_min) if bound is not None]
    usual = LimitSpec(
        low=None if limit.fall_per_min is None else -limit.fall_per_min,
        high=limit.rise_per_min,
        deadband=min(RATE_DEADBAND, min(bounds, default=0) // 2),
        on_delay_us=OWN_ON_US,
        off_delay_us=RATE_OFF_US,
    )
    return in_manner(usual, limit.manner, typed=False)


def own_violation(  # noqa: PLR0913, PLR0917 - one argument for each thing that decided it
    limit: OwnLimit,
    spec: LimitSpec,
    channel: str,
    value: int,
    phase: PhaseName | None,
    display: Display,
) -> Violation:
    """Return the violation of an own limit; `value` in what `spec` is counted in."""
    on_rate = limit.low_mdegc is None and limit.high_mdegc is None
    words = advice.own_rate if on_rate else advice.own_limit
    said = words(limit, channel, value, display)
    priority = limit.manner.priority or Priority.MEDIUM
    unit: Unit = "degC/min" if on_rate else "degC"
    bounds = Bounds(spec.low, spec.high)
    return Violation(priority, phase, bounds, value, unit, said.message, said.advice)


def skipped_mark(phase: PhaseName, words: advice.Words) -> Violation:
    """A phase that only a mark can tell was not marked: it may have been done all the same."""
    limit, message, todo = Bounds(1, None), words.message, words.advice
    return Violation(Priority.MEDIUM, phase, limit, 0, "count", message, todo)


def unmarked_phases(phases: Sequence[PhaseName]) -> Violation:
    """Nobody marked anything in the lot, and these phases only a mark can tell."""
    words = advice.unmarked_phases(phases)
    limit = Bounds(len(phases), None)
    return Violation(Priority.LOW, phases[0], limit, 0, "count", words.message, words.advice)


def phase_too_short(own: OwnPhase, lasted_us: int) -> Violation | None:
    """An own phase lasts at least as long as the recipe says."""
    if own.at_least_s is None or lasted_us >= (own.at_least_s - SLACK_S) * 1_000_000:
        return None
    return _phase_duration(own, lasted_us, advice.phase_too_short(own, lasted_us))


def phase_too_long(own: OwnPhase, lasted_us: int) -> Violation | None:
    """An own phase lasts at most as long as the recipe says."""
    if own.at_most_s is None or lasted_us <= (own.at_most_s + SLACK_S) * 1_000_000:
        return None
    return _phase_duration(own, lasted_us, advice.phase_too_long(own, lasted_us))


def _phase_duration(own: OwnPhase, lasted_us: int, words: advice.Words) -> Violation:
    low, high = (None if s is None else s * 1000 for s in (own.at_least_s, own.at_most_s))
    return violation_of(PHASE_DURATION, own.name, Bounds(low, high), lasted_us // 1000, "s", words)
