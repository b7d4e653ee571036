"""The rules: what each limit is, when it is violated, and what is said then.

A rule looks at numbers that others measured and answers with a `Violation` or None. Each has a
row in `PRIORITIES`; the words are in `advice`.
"""

import msgspec

from collector import advice
from collector.alarm_events import Bounds, Unit
from collector.conclusions import WeighingKind
from collector.display import Display
from collector.expectations import Expectation
from collector.limits import LimitSpec
from collector.phases import Phase, PhaseName
from collector.priorities import Priority
from collector.readings import Reading
from collector.recipes import Manner, Recipe, Window

FRAGRANCE_TEMPERATURE = "fragrance-temperature"
STIR_DURATION = "stir-duration"
POUR_TEMPERATURE = "pour-temperature"
WAX_GRAMS = "wax-grams"
FRAGRANCE_GRAMS = "fragrance-grams"
FILL_GRAMS = "fill-grams"
SKIPPED_PHASE = "skipped-phase"
PHASE_ORDER = "phase-order"
OVER_TEMPERATURE = "over-temperature"
INSTRUMENT_SILENT = "instrument-silent"
PHASE_DURATION = "phase-duration"
UNATTENDED_HEAT = "unattended-heat"
OFF_BAND = "off-band"

PRIORITIES = {
    OVER_TEMPERATURE: Priority.HIGH,
    UNATTENDED_HEAT: Priority.HIGH,
    FRAGRANCE_TEMPERATURE: Priority.HIGH,
    FRAGRANCE_GRAMS: Priority.HIGH,
    STIR_DURATION: Priority.HIGH,
    SKIPPED_PHASE: Priority.HIGH,
    POUR_TEMPERATURE: Priority.HIGH,
    WAX_GRAMS: Priority.MEDIUM,
    FILL_GRAMS: Priority.MEDIUM,
    PHASE_ORDER: Priority.MEDIUM,
    PHASE_DURATION: Priority.MEDIUM,
    INSTRUMENT_SILENT: Priority.LOW,
    OFF_BAND: Priority.LOW,
}
"""High: the lot is spoiled within minutes. Medium: it can be put right for a while."""

FOLLOWED = (OVER_TEMPERATURE,)
"""Rules that follow a value over time: only these have a deadband and delays."""

OF_A_PITCHER = (
    WAX_GRAMS,
    FRAGRANCE_TEMPERATURE,
    FRAGRANCE_GRAMS,
    STIR_DURATION,
    POUR_TEMPERATURE,
)
"""Rules whose violation nothing can put right once the pitcher is poured."""

OF_THE_WAX_IN_IT = (FRAGRANCE_TEMPERATURE, POUR_TEMPERATURE)
"""Rules about the temperature of one pitcher's wax."""

PROBE_MDEGC = 250
"""How far a temperature may be beyond a window before it counts: the noise and resolution of a
workshop's probe. Common practice, no source."""

SLACK_S = 1
"""A stir this much short is the moment it takes to press the key."""

GRAMS_RULES = {
    WeighingKind.WAX: (WAX_GRAMS, Phase.DRAW_WAX),
    WeighingKind.FRAGRANCE: (FRAGRANCE_GRAMS, Phase.ADD_FRAGRANCE),
    WeighingKind.FILL: (FILL_GRAMS, Phase.POUR),
}

OVER_TEMPERATURE_DEADBAND_MDEGC = 1000
"""ISA-18.2 suggests 1 % of the range to start with (from memory): 1 °C of a pot's 100."""

USUAL = Manner()

OVER_TEMPERATURE_ON_US = 1_000_000
OVER_TEMPERATURE_OFF_US = 10_000_000
"""Two readings that agree: a pot heats by tenths of a degree a second, so this loses nothing,
and the deadband keeps it one alarm."""


class Violation(msgspec.Struct, frozen=True):
    """A limit that does not hold, with the numbers that decided it.

    `limit` and `measured` in 0.001 `unit`, whole for `count`.
    """

    priority: Priority
    phase: PhaseName | None
    limit: Bounds
    measured: int | None
    unit: Unit
    message: str
    advice: str


def window_violated(window: Window, mdegc: int) -> bool:
    """Tell whether a temperature is outside a window by more than a probe's error."""
    low, high = window.low_mdegc - PROBE_MDEGC, window.high_mdegc + PROBE_MDEGC
    return not low <= mdegc <= high


def fragrance_temperature(recipe: Recipe, mdegc: int, display: Display) -> Violation | None:
    """Fragrance goes in inside the recipe's window."""
    window = recipe.fragrance.add_between
    if window is None or not window_violated(window, mdegc):
        return None
    words = advice.fragrance_temperature(window, mdegc, display)
    bounds = Bounds(window.low_mdegc, window.high_mdegc)
    return violation_of(FRAGRANCE_TEMPERATURE, Phase.ADD_FRAGRANCE, bounds, mdegc, "degC", words)


def pour_temperature(recipe: Recipe, mdegc: int, display: Display) -> Violation | None:
    """The pour happens inside the recipe's window."""
    window = recipe.pour_between
    if window is None or not window_violated(window, mdegc):
        return None
    words = advice.pour_temperature(window, mdegc, display)
    bounds = Bounds(window.low_mdegc, window.high_mdegc)
    return violation_of(POUR_TEMPERATURE, Phase.POUR, bounds, mdegc, "degC", words)


def grams(
    kind: WeighingKind, expected: Expectation, mass_mg: int, words: advice.Words
) -> Violation:
    """Return the violation of a weighing that is off its target."""
    rule, phase = GRAMS_RULES[kind]
    low, high = (
        expected.target_mg - expected.tolerance_mg,
        expected.target_mg + expected.tolerance_mg,
    )
    return violation_of(rule, phase, Bounds(low, high), mass_mg, "g", words)


def stir_duration(at_least_s: int, lasted_us: int, *, at_most: bool) -> Violation | None:
    """The stir lasts as long as the recipe says; `at_most` where the time is only a bound."""
    if lasted_us >= (at_least_s - SLACK_S) * 1_000_000:
        return None
    words = advice.stir_duration(at_least_s, lasted_us, at_most=at_most)
    bounds = Bounds(at_least_s * 1000, None)
    return violation_of(STIR_DURATION, Phase.STIR, bounds, lasted_us // 1000, "s", words)


def skipped_phase(phase: PhaseName, words: advice.Words) -> Violation:
    """Every phase that the recipe lists is gone through."""
    return violation_of(SKIPPED_PHASE, phase, Bounds(1, None), 0, "count", words)


def skipped_vessels(filled: int, vessels: int) -> Violation:
    """Every vessel of the lot is filled."""
    words = advice.skipped_vessels(filled, vessels)
    return violation_of(SKIPPED_PHASE, Phase.POUR, Bounds(vessels, None), filled, "count", words)


def phase_order(phase: PhaseName, missing: PhaseName) -> Violation:
    """Phases come in the recipe's order."""
    words = advice.phase_order(phase, missing)
    return violation_of(PHASE_ORDER, missing, Bounds(None, None), None, "count", words)


def over_temperature(channel: str, limit_mdegc: int, mdegc: int, display: Display) -> Violation:
    """Return the violation of wax that is hotter than its maker allows."""
    words = advice.over_temperature(channel, limit_mdegc, mdegc, display)
    return violation_of(OVER_TEMPERATURE, None, Bounds(None, limit_mdegc), mdegc, "degC", words)


def over_temperature_limit(
    never_above_mdegc: int, manner: Manner = USUAL, *, typed: bool = False
) -> LimitSpec:
    """Return the limit that a wax's greatest temperature makes."""
    usual = LimitSpec(
        high=never_above_mdegc,
        deadband=OVER_TEMPERATURE_DEADBAND_MDEGC,
        on_delay_us=OVER_TEMPERATURE_ON_US,
        off_delay_us=OVER_TEMPERATURE_OFF_US,
    )
    return in_manner(usual, manner, typed=typed)


def in_manner(usual: LimitSpec, manner: Manner, *, typed: bool) -> LimitSpec:
    """Return a limit as a recipe wants it.

    What a person `typed` in does not flicker, and the next value may be long in coming: it
    counts at once.
    """
    asked = {
        "deadband": manner.deadband,
        "on_delay_us": 0 if typed else manner.on_delay_us,
        "off_delay_us": 0 if typed else manner.off_delay_us,
    }
    changed = {name: value for name, value in asked.items() if value is not None}
    return msgspec.structs.replace(usual, **changed)


def unattended_heat(
    reading: Reading, above_mdegc: int, alone_us: int, display: Display
) -> Violation:
    """Return the violation of a pot that is hot with nobody at the bench."""
    words = advice.unattended_heat(reading.channel, reading.value, alone_us, display)
    bounds = Bounds(None, above_mdegc)
    return violation_of(UNATTENDED_HEAT, None, bounds, reading.value, "degC", words)


def instrument_silent(channel: str, since: str, reason: str, remedy: str) -> Violation:
    """Return the violation of an instrument that gives no reading."""
    words = advice.Words(f"{channel} gives no readings{since}: {reason}.", remedy)
    return violation_of(INSTRUMENT_SILENT, None, Bounds(None, None), None, "count", words)


def off_band(bounds: Bounds, mdegc: int, display: Display) -> Violation:
    """A lot goes as the good lots of its recipe went."""
    words = advice.off_band(bounds.low or 0, bounds.high or 0, mdegc, display)
    return violation_of(OFF_BAND, None, bounds, mdegc, "degC", words)


def violation_of(  # noqa: PLR0913, PLR0917 - one argument for each thing that decided it
    rule: str,
    phase: PhaseName | None,
    limit: Bounds,
    measured: int | None,
    unit: Unit,
    words: advice.Words,
) -> Violation:
    """Return a violation of a rule with the rule's own priority."""
    return Violation(PRIORITIES[rule], phase, limit, measured, unit, words.message, words.advice)
