"""What is said when a limit is violated: what happened, and what can be done about it now."""

from collections.abc import Sequence

import msgspec

from collector.chill import Chill
from collector.corrections import Mixed, Possible, vessels_of, what_is_possible
from collector.display import Display, duration, percent
from collector.expectations import Expectation
from collector.forecast import Span, Why
from collector.outlook import Outlook
from collector.phases import Phase, PhaseName
from collector.pot import InPot
from collector.recipes import LoadOf, OwnLimit, OwnPhase, Recipe, Window

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


def wax_grams(  # noqa: PLR0913, PLR0917 - one for each thing that the words depend on
    recipe: Recipe,
    mixed: Mixed,
    expected: Expectation,
    mass_mg: int,
    display: Display,
    pot: InPot | None = None,
) -> Words:
    """Say that the wax drawn is off its target; `mixed` as it will be with its fragrance."""
    off = abs(mass_mg - expected.target_mg)
    amount, target = display.grams(off), display.grams(expected.target_mg)
    if mass_mg < expected.target_mg:
        todo = f"Add {amount} of wax before the fragrance, or the last vessel runs short."
        todo += mix_short(recipe, mixed) + from_pot(pot, off, display)
        return Words(f"{amount} of wax short: {display.grams(mass_mg)} of {target}.", todo)
    todo = f"Pour {amount} back, or go on: the fragrance is worked out from what was really drawn."
    if pot is not None and pot.spare_mg() < 0:
        short = display.grams(-pot.spare_mg())
        todo = f"Pour {amount} back: without it the pot is {short} short for the rest of the day."
    return Words(f"{amount} of wax too much: {display.grams(mass_mg)} of {target}.", todo)


def from_pot(pot: InPot | None, amount_mg: int, display: Display) -> str:
    """Say whether the pot allows so much more wax; nothing where nobody knows what it holds."""
    if pot is None:
        return ""
    if not pot.holds(amount_mg):
        return f" The pot holds only {display.grams(pot.left_mg)}: melt more first."
    spare_mg = pot.spare_mg(amount_mg)
    if spare_mg < 0:
        short = display.grams(-spare_mg)
        return f" The pot has it, but is then {short} short for the rest of the day."
    return f" The pot has it, and {display.grams(spare_mg)} to spare."


def mix_short(recipe: Recipe, mixed: Mixed) -> str:
    """Say how many vessels a mix fills that is too little for all of them; else nothing."""
    fills = vessels_of(recipe, mixed.mix_mg, mixed.vessels)
    if fills >= mixed.vessels:
        return ""
    return f" As it is, this pitcher fills {fills} of its {mixed.vessels} vessels."


def fragrance_grams(
    recipe: Recipe, mixed: Mixed, now: WaxNow, display: Display, pot: InPot | None = None
) -> Words:
    """Say that the fragrance is off its target, and what makes the load right again."""
    basis = (
        f"at {percent(recipe.fragrance.load_ppm)} of "
        + ("" if recipe.fragrance.load_of is LoadOf.WAX else "the total with ")
        + f"the {display.grams(mixed.wax_mg)} drawn"
    )
    possible = what_is_possible(recipe, mixed, now.mdegc, pot)
    if possible.add_fragrance_mg:
        amount = display.grams(possible.add_fragrance_mg)
        todo = _add_fragrance(amount, recipe, now, display)
        return Words(f"Fragrance {amount} short {basis}.", todo + _outcome(possible, mixed))
    todo = _less_load(recipe, possible, display)
    todo += _outcome(possible, mixed) if possible.fits and possible.wax_left else ""
    return Words(
        f"Too much fragrance {basis}: {display.grams(mixed.fragrance_mg)}.",
        f"{todo} {_kept(possible)}",
    )


def _less_load(recipe: Recipe, possible: Possible, display: Display) -> str:
    """Say how wax brings the load back, within what the pitcher and the pot hold."""
    load = percent(recipe.fragrance.load_ppm)
    amount = display.grams(possible.add_wax_mg)
    if possible.fits and possible.wax_left:
        more = display.grams(max(0, possible.more_mg))
        left = f": {more} more than the vessels need" if possible.more_mg > 0 else ""
        pot = from_pot(possible.pot, possible.add_wax_mg, display)
        return f"Add {amount} of wax to bring the load back to {load}{left}.{pot}"
    lacks = _lacking(possible, display)
    off = possible.pour_off
    if off is None:
        melt = "" if possible.wax_left else " Melt more first."
        return f"The load of {load} wants {amount} of wax, and {lacks}.{melt}"
    return (
        f"{lacks[:1].upper()}{lacks[1:]}: pour {display.grams(off.mix_mg)} of the mix off into"
        f" another pitcher, then add {display.grams(off.wax_mg)} of wax to bring the load back to"
        f" {load}.{from_pot(possible.pot, off.wax_mg, display)}"
    )


def _lacking(possible: Possible, display: Display) -> str:
    """Say what keeps wax from being added as it should."""
    lacks = []
    if not possible.fits:
        lacks.append(f"the pitcher holds only {display.grams(possible.room_mg or 0)} more")
    if possible.pot is not None and not possible.wax_left:
        lacks.append(f"the pot holds only {display.grams(possible.pot.left_mg)}")
    return " and ".join(lacks)


def _outcome(possible: Possible, mixed: Mixed) -> str:
    """Say what the mix is good for once it is put right, where that is not as planned."""
    if possible.fills < mixed.vessels:
        return f" That fills {possible.fills} of the {mixed.vessels} vessels."
    if possible.more_vessels:
        many = "vessel" if possible.more_vessels == 1 else "vessels"
        return f" That is enough for {possible.more_vessels} {many} more."
    return ""


def _kept(possible: Possible) -> str:
    """Say whether the load may stay as it is."""
    over = next((limit for limit in possible.limits if not limit.kept), None)
    if over is not None:
        return (
            f"Do not keep it as it is: {percent(over.load_ppm)} of the {over.basis.value}, and"
            f" {over.by} allows {percent(over.most_ppm)}."
        )
    if not possible.may_be_kept:
        return "Or keep the lot apart: too much fragrance sweats out and burns badly."
    said = " and ".join(
        f"{percent(limit.load_ppm)} of the {limit.basis.value} where {limit.by} allows"
        f" {percent(limit.most_ppm)}"
        for limit in possible.limits
    )
    return f"Or keep it as it is: {said}."


def _add_fragrance(amount: str, recipe: Recipe, now: WaxNow, display: Display) -> str:
    window = recipe.fragrance.add_between
    if now.mdegc is None or window is None:
        return f"Add {amount} now, and stir the full time."
    at = display.degrees(now.mdegc)
    if now.mdegc < window.low_mdegc:
        floor = display.degrees(window.low_mdegc)
        return f"The wax is at {at}: warm it to {floor}, add {amount}, and stir the full time."
    left = now.until(window.low_mdegc)
    time = f", {wait(left)} above the window's floor" if isinstance(left, Span) else ""
    return f"Add {amount} now, the wax is still at {at}{time}; then stir the full time."


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
    todo: dict[PhaseName, str] = {
        Phase.STIR: f"Stop pouring and stir {recipe.stir_at_least_s} s.",
        Phase.ADD_FRAGRANCE: "Stop pouring: no fragrance was weighed for this pitcher.",
    }
    return Words(
        f"The pour began without {name}.", todo.get(phase, f"Check: {name} did not happen.")
    )


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
