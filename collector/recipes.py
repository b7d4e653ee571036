"""A recipe: what one candle is made of, and the limits of each phase.

Masses are integers of 0.001 g, temperatures of 0.001 °C, durations whole seconds, loads parts
per million of their basis. `recipe_file` reads recipes from TOML and JSON.
"""

from enum import StrEnum

import msgspec

from collector.phases import Phase

PPM = 1_000_000


class LoadOf(StrEnum):
    """What the fragrance load is a share of. Both are used in the trade: always say which."""

    WAX = "wax"
    TOTAL = "total"


class Window(msgspec.Struct, frozen=True):
    """A temperature range, both ends included; 0.001 °C."""

    low_mdegc: int
    high_mdegc: int


class VesselSpec(msgspec.Struct, frozen=True):
    """How much goes into each vessel, and how far off it may be; 0.001 g."""

    fill_mg: int
    tolerance_mg: int


class PitcherSpec(msgspec.Struct, frozen=True):
    """What a pouring pitcher holds, and what stays on its wall; 0.001 g.

    `capacity_mg` is None where the recipe sets no bound.
    """

    capacity_mg: int | None = None
    residue_mg: int = 0


class WaxSpec(msgspec.Struct, frozen=True):
    """The wax, and the temperature that its maker says it must never pass."""

    name: str
    tolerance_ppm: int = 20_000
    """How far the wax drawn may be off its target. 2 %: common practice, no source."""
    never_above_mdegc: int | None = None


class FragranceSpec(msgspec.Struct, frozen=True):
    """The fragrance, its load, and the window in which it is added."""

    name: str
    load_ppm: int
    load_of: LoadOf
    add_between: Window | None = None
    flash_point_mdegc: int | None = None
    tolerance_ppm: int = 25_000
    """How far the fragrance may be off its target. 2.5 %: common practice, no source."""


class Recipe(msgspec.Struct, frozen=True, kw_only=True):
    """The master recipe of one candle; a lot carries its own copy."""

    name: str
    vessel: VesselSpec
    wax: WaxSpec
    fragrance: FragranceSpec
    pitcher: PitcherSpec = PitcherSpec()
    prepare: bool = False
    stir_at_least_s: int | None = None
    pour_between: Window | None = None
    pour: bool = False
    set_at_least_s: int | None = None
    trim: bool = False
    cure_at_least_s: int | None = None

    @property
    def phases(self) -> tuple[Phase, ...]:
        """The phases that a lot of this recipe is expected to go through, in order."""
        listed = {
            Phase.PREPARE: self.prepare,
            Phase.DRAW_WAX: True,
            Phase.ADD_FRAGRANCE: True,
            Phase.STIR: self.stir_at_least_s is not None,
            Phase.POUR: self.pour,
            Phase.SET: self.set_at_least_s is not None,
            Phase.TRIM: self.trim,
            Phase.CURE: self.cure_at_least_s is not None,
        }
        return tuple(phase for phase, expected in listed.items() if expected)
