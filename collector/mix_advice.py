"""What is said of a pitcher whose wax or fragrance went wrong, and what is still possible."""

from collector.advice import WaxNow, Words, wait
from collector.batch_sheet import fragrance_for
from collector.corrections import Mixed, Possible, vessels_of, what_is_possible
from collector.display import Display, percent
from collector.expectations import Expectation
from collector.forecast import Span
from collector.pot import InPot
from collector.recipes import LoadOf, Recipe


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
    capacity_mg = recipe.pitcher.capacity_mg
    if capacity_mg is not None and mixed.mix_mg > capacity_mg:
        mix, held = display.grams(mixed.mix_mg), display.grams(capacity_mg)
        todo = f"Pour {amount} back: with its fragrance it is {mix}, and the pitcher holds {held}."
    return Words(f"{amount} of wax too much: {display.grams(mass_mg)} of {target}.", todo)


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
        if not possible.fits:
            off = display.grams(possible.add_fragrance_mg - (possible.room_mg or 0))
            todo += f" But {_lacking(possible, display)}: pour {off} of the mix off first."
        return Words(f"Fragrance {amount} short {basis}.", todo + _outcome(possible, mixed))
    todo = _less_load(recipe, possible, display)
    if possible.fits and possible.wax_left:
        todo += _outcome(possible, mixed) + _stir_in(possible, display)
    elif possible.pour_off is not None:
        todo += _stir_in(possible, display)
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


def _stir_in(possible: Possible, display: Display) -> str:
    """Say how wax that is added late comes to hold fragrance."""
    if possible.warm_to_mdegc is None:
        return " Then stir the full time."
    return f" Then warm it to {display.degrees(possible.warm_to_mdegc)} and stir the full time."


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


def unscented(recipe: Recipe, wax_mg: int, mdegc: int | None, display: Display) -> Words:
    """Say that a pour began without fragrance, and what this pitcher still needs."""
    window, stir_s = recipe.fragrance.add_between, recipe.stir_at_least_s
    steps = ["pour back what is filled"]
    if window is not None and (mdegc is None or mdegc < window.low_mdegc):
        steps.append(f"warm the wax to {display.degrees(window.low_mdegc)}")
    amount = display.grams(fragrance_for(recipe, wax_mg))
    steps.append(f"weigh in {amount} of {recipe.fragrance.name}")
    if stir_s:
        steps.append(f"stir {stir_s} s")
    todo = f"Stop: {', '.join(steps[:-1])} and {steps[-1]}."
    return Words("The pour began without adding the fragrance.", todo)


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
