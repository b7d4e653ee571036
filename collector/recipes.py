"""A recipe: what one candle is made of, and the limits of each phase.

Masses are integers of 0.001 g, temperatures of 0.001 °C, durations whole seconds, loads parts
per million of their basis. `recipe_file` reads recipes from TOML and JSON.
"""

from enum import StrEnum

import msgspec

from collector.phases import ORDER, Phase, PhaseName
from collector.priorities import Priority
from collector.readings import Role

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
    """How much goes into each vessel, and how far off it may be; 0.001 g.

    `volume_ul` (0.001 mL) where the recipe gave a volume, out of which the grams were computed.
    """

    fill_mg: int
    tolerance_mg: int
    volume_ul: int | None = None


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
    density_mg_per_ml: int | None = None
    """Of the wax as it is poured, for a vessel that is given by its volume."""
    most_ppm: int | None = None
    """The greatest load of fragrance that the wax maker allows, counted of `most_of`."""
    most_of: LoadOf = LoadOf.WAX


class FragranceSpec(msgspec.Struct, frozen=True):
    """The fragrance, its load, and the window in which it is added."""

    name: str
    load_ppm: int
    load_of: LoadOf
    add_between: Window | None = None
    flash_point_mdegc: int | None = None
    tolerance_ppm: int = 25_000
    """How far the fragrance may be off its target. 2.5 %: common practice, no source."""
    ifra_limit_ppm: int | None = None
    """The most that the fragrance's IFRA certificate allows for candles, a share of the finished
    product: of the total, whatever the load is counted of."""


class OwnPhase(msgspec.Struct, frozen=True):
    """A phase that a recipe adds: its name, the phase it follows, and how long it may last."""

    name: PhaseName
    after: PhaseName
    at_least_s: int | None = None
    at_most_s: int | None = None


class Manner(msgspec.Struct, frozen=True, kw_only=True):
    """How an alarm behaves where a recipe says other than usual; None is as usual.

    `deadband` in the quantity's resolution; a `latched` alarm stays until a person resets it.
    """

    priority: Priority | None = None
    latched: bool = False
    deadband: int | None = None
    on_delay_us: int | None = None
    off_delay_us: int | None = None


class OwnLimit(msgspec.Struct, frozen=True, kw_only=True):
    """A limit that a recipe adds, on the temperature of a role or on how fast it changes.

    Bounds in 0.001 °C and 0.001 °C a minute, a fall counted positive. `during` names the phases
    in which it is judged; none means the whole lot.
    """

    rule: str
    role: Role
    low_mdegc: int | None = None
    high_mdegc: int | None = None
    fall_per_min: int | None = None
    rise_per_min: int | None = None
    during: tuple[PhaseName, ...] = ()
    manner: Manner = Manner()
    advice: str = ""


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
    own_phases: tuple[OwnPhase, ...] = ()
    """In the order in which each can be put behind the one it follows."""
    own_limits: tuple[OwnLimit, ...] = ()
    manners: dict[str, Manner] = {}
    """How the alarm of a rule behaves, by the rule's name."""

    @property
    def order(self) -> tuple[PhaseName, ...]:
        """Every phase that a lot of this recipe can go through, in order."""
        order = list(ORDER)
        for own in self.own_phases:
            order.insert(order.index(own.after) + 1, own.name)
        return tuple(order)

    @property
    def aftercare(self) -> tuple[PhaseName, ...]:
        """The phases that a lot goes through after it is closed: by calendar and by marks."""
        return self.order[self.order.index(Phase.POUR) + 1 :]

    @property
    def phases(self) -> tuple[PhaseName, ...]:
        """The phases that a lot of this recipe is expected to go through, in order."""
        listed: dict[PhaseName, bool] = {
            Phase.PREPARE: self.prepare,
            Phase.DRAW_WAX: True,
            Phase.ADD_FRAGRANCE: True,
            Phase.STIR: self.stir_at_least_s is not None,
            Phase.POUR: self.pour,
            Phase.SET: self.set_at_least_s is not None,
            Phase.TRIM: self.trim,
            Phase.CURE: self.cure_at_least_s is not None,
        }
        return tuple(phase for phase in self.order if listed.get(phase, True))
