"""What is said when a limit is violated: what happened, and what can be done about it now."""

from collections.abc import Sequence

import msgspec

from collector.chill import Chill
from collector.display import Display, duration
from collector.expectations import Expectation
from collector.forecast import Span, Why
from collector.outlook import Outlook
from collector.phases import Phase, PhaseName
from collector.recipes import OwnLimit, OwnPhase, Recipe, Window

US_PER_S = 1_000_000


class Words(msgspec.Struct, frozen=True):
    """What happened, and what to do."""

    message: str
    advice: str


class WaxNow(msgspec.Struct, frozen=True):
    """The pitcher's temperature (0.001 °C) and what its curve lets expect, as known at `at_us`."""

    mdegc: int | None
    outlook: Outlook | None
    at_us: int = 0

    def until(self, mdegc: int) -> Span | Why:
        """Return how long after `at_us` the wax reaches a temperature (0.001 °C), or why not."""
        if self.outlook is None:
            return Why.NO_PROBE
        span = self.outlook.until(mdegc)
        return span.later(self.at_us - self.outlook.at_us) if isinstance(span, Span) else span


UNKNOWN_WAX = WaxNow(None, None)


def fragrance_temperature(window: Window, mdegc: int, display: Display) -> Words:
    """Say that fragrance went in outside its window."""
    span = display.span(window.low_mdegc, window.high_mdegc)
    low = mdegc < window.low_mdegc
    how = "too cool" if low else "too hot"
    floor = display.degrees(window.low_mdegc)
    todo = (
        f"Warm the pitcher to {floor}, then stir the full time: below it fragrance may not bind."
        if low
        else "Stop adding until the wax is in the window: hotter wax drives the fragrance off."
    )
    return Words(
        f"Fragrance added {how}: the wax is at {display.degrees(mdegc)}, the window is {span}.",
        todo,
    )


def pour_temperature(window: Window, mdegc: int, display: Display) -> Words:
    """Say that the pour began outside its window."""
    span = display.span(window.low_mdegc, window.high_mdegc)
    if mdegc > window.high_mdegc:
        todo = f"Put the pitcher down until it is at {display.degrees(window.high_mdegc)}."
        how = "too hot"
    else:
        todo = f"Warm the pitcher gently to {display.degrees(window.low_mdegc)}, stir, then go on."
        how = "too cold"
    return Words(
        f"Pouring {how}: the wax is at {display.degrees(mdegc)}, the window is {span}.", todo
    )


def off_band(low_mdegc: int, high_mdegc: int, mdegc: int, display: Display) -> Words:
    """Say that a pitcher is not where good lots were at the same moment."""
    under = mdegc < low_mdegc
    off = display.apart(low_mdegc - mdegc if under else mdegc - high_mdegc)
    return Words(
        f"The wax is {off} {'under' if under else 'over'} what good lots had at this moment.",
        "Look for what is different today: the room, a draft, the pot, how full the pitcher is.",
    )


def fill_grams(
    vessel: int, vessels: int, expected: Expectation, mass_mg: int, display: Display
) -> Words:
    """Say that a vessel is off its fill."""
    amount = display.grams(abs(mass_mg - expected.target_mg))
    fills = f"{display.grams(mass_mg)} of {display.grams(expected.target_mg)}"
    if mass_mg < expected.target_mg:
        return Words(
            f"Vessel {vessel} of {vessels} is {amount} light: {fills}.",
            f"Top it up by {amount} while the wax is warm.",
        )
    return Words(
        f"Vessel {vessel} of {vessels} is {amount} heavy: {fills}.",
        f"Take {amount} out, or check that the wick still stands clear; the last vessel may run "
        "short.",
    )


def stir_duration(at_least_s: int, lasted_us: int, *, at_most: bool) -> Words:
    """Say that the stir was too short."""
    lasted = lasted_us // 1_000_000
    bound = "at most " if at_most else ""
    return Words(
        f"Stirred {bound}{lasted} s of {at_least_s} s.",
        f"Stir {at_least_s - lasted} s more before pouring, gently and to the wall.",
    )


def skipped(phase: PhaseName, recipe: Recipe, *, closing: bool) -> Words:
    """Say that a phase of the recipe did not happen."""
    name = step(phase)
    if closing:
        return Words(f"The lot was closed without {name}.", "Note what happened in the lot.")
    todo = f"Check: {name} did not happen."
    if phase == Phase.STIR and recipe.stir_at_least_s:
        todo = f"Stop pouring and stir {recipe.stir_at_least_s} s."
    return Words(f"The pour began without {name}.", todo)


def skipped_mark(phase: PhaseName, *, closing: bool) -> Words:
    """Say that a phase was not marked which only a mark can tell."""
    name = step(phase)
    if closing:
        return Words(
            f"The lot was closed and nobody marked {name}.",
            "Note in the lot whether it was done: only a mark tells it.",
        )
    return Words(
        f"The pour began and nobody marked {name}.",
        "If it was done, mark it now and go on; if not, decide whether it can still be done.",
    )


def unmarked_phases(phases: Sequence[PhaseName]) -> Words:
    """Say what a lot without any mark cannot tell."""
    names = ", ".join(step(phase) for phase in phases)
    return Words(
        f"Nothing was marked in this lot, so it does not tell of: {names}.",
        "Press the button when such a step begins, or leave it out of the recipe.",
    )


def phase_too_short(own: OwnPhase, lasted_us: int) -> Words:
    """Say that an own phase ended too early."""
    needed_us = (own.at_least_s or 0) * US_PER_S
    return Words(
        f"{capitalized(own.name)} lasted {duration(lasted_us)} of {duration(needed_us)}.",
        f"Take it up again for {duration(needed_us - lasted_us)}, and mark that.",
    )


def phase_too_long(own: OwnPhase, lasted_us: int) -> Words:
    """Say that an own phase goes on for too long."""
    most = duration((own.at_most_s or 0) * US_PER_S)
    return Words(
        f"{capitalized(own.name)} has gone on for {duration(lasted_us)}, the recipe allows {most}.",
        "End it and go on to the next step now; if it ended already, mark its end.",
    )


def skipped_vessels(filled: int, vessels: int) -> Words:
    """Say that vessels were left out."""
    missing = vessels - filled
    return Words(
        f"{filled} of {vessels} vessels were filled, {missing} left out.",
        "Look for the vessel that was passed over and for wax left in the pitcher.",
    )


def phase_order(phase: PhaseName, missing: PhaseName) -> Words:
    """Say that a phase began before one that belongs before it."""
    return Words(
        f"{capitalized(phase)} began before {step(missing)}.",
        f"Do this first: {missing}.",
    )


def over_temperature(channel: str, limit_mdegc: int, mdegc: int, display: Display) -> Words:
    """Say that the wax is hotter than its maker allows."""
    return Words(
        f"{channel} is at {display.degrees(mdegc)}, above the wax's limit of "
        f"{display.degrees(limit_mdegc)}.",
        "Turn the heat down now and stay with it. If it smokes, switch the heat off; never water.",
    )


def wait(span: Span) -> str:
    """Write how long something takes: one number where that is narrow, else from and to."""
    width_us = span.latest_us - span.soonest_us
    low, high = (round(end / US_PER_S / 10) * 10 for end in (span.soonest_us, span.latest_us))
    if span.latest_us < 120 * US_PER_S:
        narrow = width_us <= 15 * US_PER_S
        return duration(span.likely_us) if narrow else f"{low} to {high} s"
    low, high = (round(end / US_PER_S / 60) for end in (span.soonest_us, span.latest_us))
    narrow = low >= high or width_us * 10 <= span.likely_us
    return duration(span.likely_us) if narrow else f"{low} to {high} min"


def no_forecast(why: Why, setting_mdegc: int | None, display: Display) -> str:
    """Say why there is no time to give."""
    if why is Why.SETTING and setting_mdegc is not None:
        return f"The wax is setting at {display.degrees(setting_mdegc)}."
    return NO_FORECAST[why]


def chilled(fall: Chill, display: Display) -> str:
    """Say how far the fragrance will cool the wax."""
    low, high = display.step(fall.least_mdegc), display.step(fall.most_mdegc)
    by = f"about {high}" if low == high else f"{low.split(' ')[0]} to {high}"
    return f"The fragrance will cool it by {by}."


NO_FORECAST = {
    Why.NO_PROBE: "No thermometer tells the wax's temperature.",
    Why.TOO_SHORT: "How fast it changes shows within a minute.",
    Why.RISING: "It is getting warmer.",
    Why.STEADY: "Its temperature does not change.",
    Why.SLOWING: "It cools more slowly than before: it begins to set, or stands warm.",
    Why.SETTING: "The wax is setting.",
    Why.NEVER: "It does not get there by itself.",
}
"""Why there is no time to give."""


def unattended_heat(channel: str, mdegc: int, alone_us: int, display: Display) -> Words:
    """Say that a pot is hot and nobody seems to be there."""
    return Words(
        f"{channel} is at {display.degrees(mdegc)} and nobody has touched anything at this bench "
        f"for {duration(alone_us)}.",
        "Go to the pot, or switch its heat off. Acknowledge this when you are with it.",
    )


def own_limit(limit: OwnLimit, channel: str, mdegc: int, display: Display) -> Words:
    """Say that a temperature is beyond a limit of the recipe's own."""
    low = limit.low_mdegc
    below = low is not None and mdegc < low
    bound = (low if below else limit.high_mdegc) or 0
    side = "below" if below else "above"
    return Words(
        f"{capitalized(limit.rule)}: {channel} is at {display.degrees(mdegc)}, {side} the limit of "
        f"{display.degrees(bound)}.",
        limit.advice or OWN_ADVICE,
    )


def own_rate(limit: OwnLimit, channel: str, per_min: int, display: Display) -> Words:
    """Say that a temperature changes faster than a limit of the recipe's own allows."""
    falls = limit.fall_per_min is not None and per_min < 0
    bound = (limit.fall_per_min if falls else limit.rise_per_min) or 0
    does = "falls" if falls else "rises"
    return Words(
        f"{capitalized(limit.rule)}: {channel} {does} by {display.degrees_a_minute(abs(per_min))}, "
        f"the limit is {display.degrees_a_minute(bound)}.",
        limit.advice or OWN_ADVICE,
    )


OWN_ADVICE = "Look for the cause now; the recipe sets this limit and says nothing of what to do."

STEPS: dict[PhaseName, str] = {
    Phase.PREPARE: "preparing the vessels",
    Phase.DRAW_WAX: "drawing the wax",
    Phase.ADD_FRAGRANCE: "adding the fragrance",
    Phase.STIR: "stirring",
    Phase.POUR: "pouring",
    Phase.SET: "setting",
    Phase.TRIM: "trimming the wicks",
    Phase.CURE: "curing",
}
"""Each phase as a thing that is done."""


def step(phase: PhaseName) -> str:
    """Return a phase as a thing that is done; one of a recipe's own goes by its name."""
    return STEPS.get(phase, phase)


def capitalized(phase: PhaseName) -> str:
    """Return a phase's name as it begins a sentence, the rest as the recipe writes it."""
    name = step(phase)
    return name[:1].upper() + name[1:]
