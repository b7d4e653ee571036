"""What is still possible with a pitcher whose wax or fragrance went wrong. Masses in 0.001 g.

With the fragrance F that is in, the wax W and the load f (of the wax), the load is right again
with F / f - W of wax more. Where the pitcher does not hold that, part of the mix is poured off
first: of the mix the share r is kept so that r (F / f + F) is the mix that was planned.
"""

from fractions import Fraction

import msgspec

from collector.batch_sheet import PitcherSheet, correction_for, fragrance_for
from collector.loads import LoadLimit, load_limits, load_on
from collector.pot import InPot
from collector.recipes import LoadOf, Recipe


class Mixed(msgspec.Struct, frozen=True):
    """What is in a pitcher, and how many vessels it is for."""

    wax_mg: int
    fragrance_mg: int
    vessels: int

    @property
    def mix_mg(self) -> int:
        """Wax and fragrance together."""
        return self.wax_mg + self.fragrance_mg


class PourOff(msgspec.Struct, frozen=True):
    """How much of the mix to pour off, and how much wax then makes it the planned mix again."""

    mix_mg: int
    wax_mg: int


class Possible(msgspec.Struct, frozen=True, kw_only=True):
    """What can be done about a pitcher. Amounts are zero where there is nothing to add.

    `room_mg` is what the pitcher still holds, None where the recipe sets no bound; `pot` what
    the pot does, None where nobody knows. `pour_off` is None where that takes more wax than the
    pot has. `more_mg` is by how much the mix, put right, is more than the vessels need
    (negative: less): it gives `fills` of the vessels, each within its tolerance, and
    `more_vessels` beyond them. `limits` are those that the load as it is now is held against,
    and it may be kept where all of them allow it.
    """

    add_fragrance_mg: int
    add_wax_mg: int
    warm_to_mdegc: int | None
    room_mg: int | None
    pot: InPot | None
    pour_off: PourOff | None
    more_mg: int
    fills: int
    more_vessels: int
    limits: tuple[LoadLimit, ...]

    @property
    def fits(self) -> bool:
        """Whether the pitcher holds what is to be added."""
        added_mg = self.add_wax_mg + self.add_fragrance_mg
        return self.room_mg is None or added_mg <= self.room_mg

    @property
    def wax_left(self) -> bool:
        """Whether the pot has the wax to add, as far as anybody knows."""
        return self.pot is None or self.pot.holds(self.add_wax_mg)

    @property
    def may_be_kept(self) -> bool:
        """Whether somebody set a limit, and the load as it is now is within every one."""
        return bool(self.limits) and all(limit.kept for limit in self.limits)


def what_is_possible(
    recipe: Recipe, mixed: Mixed, mdegc: int | None, pot: InPot | None = None
) -> Possible:
    """Return what can be done about a pitcher whose wax is at `mdegc` (None: nobody knows)."""
    correction = correction_for(recipe, mixed.wax_mg, mixed.fragrance_mg)
    wax_mg = correction.add_wax_mg
    corrected_mg = mixed.mix_mg + wax_mg + correction.add_fragrance_mg
    need_mg = needed_mix(recipe, mixed.vessels)
    window = recipe.fragrance.add_between
    cool = window is not None and mdegc is not None and mdegc < window.low_mdegc
    capacity_mg = recipe.pitcher.capacity_mg
    room_mg = None if capacity_mg is None else max(0, capacity_mg - mixed.mix_mg)
    return Possible(
        add_fragrance_mg=correction.add_fragrance_mg,
        add_wax_mg=wax_mg,
        warm_to_mdegc=window.low_mdegc if window is not None and cool else None,
        room_mg=room_mg,
        pot=pot,
        pour_off=_pour_off(recipe, mixed, need_mg, pot) if wax_mg else None,
        more_mg=corrected_mg - need_mg,
        fills=vessels_of(recipe, corrected_mg, mixed.vessels),
        more_vessels=max(0, corrected_mg - need_mg) // recipe.vessel.fill_mg,
        limits=_limits_now(recipe, mixed),
    )


def needed_mix(recipe: Recipe, vessels: int) -> int:
    """Return the mix that fills so many vessels and leaves the pitcher's residue."""
    return vessels * recipe.vessel.fill_mg + recipe.pitcher.residue_mg


def vessels_of(recipe: Recipe, mix_mg: int, vessels: int) -> int:
    """Return how many of the vessels a mix fills, each within its tolerance."""
    least_mg = recipe.vessel.fill_mg - recipe.vessel.tolerance_mg
    return min(vessels, max(0, mix_mg - recipe.pitcher.residue_mg) // least_mg)


def mixed_of(recipe: Recipe, sheet: PitcherSheet, wax_mg: int, fragrance_mg: int | None) -> Mixed:
    """Return what is in a pitcher; where the fragrance is still to come, as its target."""
    if fragrance_mg is None:
        fragrance_mg = fragrance_for(recipe, wax_mg)
    return Mixed(wax_mg, fragrance_mg, sheet.vessels)


def _pour_off(recipe: Recipe, mixed: Mixed, need_mg: int, pot: InPot | None) -> PourOff | None:
    """Return what to pour off.

    None where the mix, put right, is less than the vessels need, or the pot lacks the wax.
    """
    if mixed.wax_mg <= 0:
        return None
    right_mg = mixed.mix_mg + correction_for(recipe, mixed.wax_mg, mixed.fragrance_mg).add_wax_mg
    kept = Fraction(need_mg, right_mg)
    if kept >= 1:
        return None
    kept_mg = round(kept * mixed.mix_mg)
    if pot is not None and not pot.holds(need_mg - kept_mg):
        return None
    return PourOff(mixed.mix_mg - kept_mg, need_mg - kept_mg)


def _limits_now(recipe: Recipe, mixed: Mixed) -> tuple[LoadLimit, ...]:
    if mixed.wax_mg <= 0:
        return ()
    of_wax = Fraction(mixed.fragrance_mg, mixed.wax_mg)
    load = load_on(recipe.fragrance.load_of, of_wax, LoadOf.WAX)
    return load_limits(recipe.wax, recipe.fragrance, load)
