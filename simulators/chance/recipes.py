"""A recipe drawn at random, and the pitchers and the pot that suit it.

Windows are those usual for soy, coconut blends and paraffin: common practice, no source. A pour
window is made wide enough for the pitcher to be emptied in it, as a maker would have found out.
"""

import math
from dataclasses import dataclass, replace
from random import Random

from simulators.chance.outlook import outlook
from simulators.physics.heat import SettingRange
from simulators.recipe_card import RecipeCard, read_card
from simulators.scenario import PitcherPlan, PotPlan

LEAST_VESSELS, MOST_VESSELS = 3, 30
MOST_PITCHERS = 3
MOST_IN_PITCHER_G = 2400.0


@dataclass(frozen=True)
class WaxKind:
    """What is usual for one kind of wax: upper edges of the windows, greatest temperature, °C.

    The heat of fusion of paraffin is that of encyclopedias; the others are from memory.
    """

    name: str
    add_high: tuple[float, float]
    pour_high: tuple[float, float]
    never_above: float
    fusion_j_per_g: tuple[float, float]


WAXES = (
    WaxKind("soy", (80.0, 86.0), (58.0, 66.0), 93.0, (110.0, 180.0)),
    WaxKind("coconut blend", (76.0, 83.0), (63.0, 69.0), 92.0, (90.0, 150.0)),
    WaxKind("paraffin", (84.0, 89.0), (73.0, 78.0), 97.0, (200.0, 220.0)),
)


@dataclass(frozen=True)
class ChanceRecipe:
    """A recipe with the number of vessels and what it is made in."""

    card: RecipeCard
    vessels: int
    pot: PotPlan
    pitcher: PitcherPlan
    pitchers: int
    setting: SettingRange


@dataclass(frozen=True)
class _Batch:
    fill_g: float
    vessels: int
    pitchers: int
    residue_g: float
    load: float
    load_of: str
    stir_s: int

    @property
    def in_pitcher(self) -> int:
        return -(-self.vessels // self.pitchers)

    @property
    def mix_g(self) -> float:
        return self.in_pitcher * self.fill_g + self.residue_g

    @property
    def fragrance_g(self) -> float:
        share = self.load if self.load_of == "total" else self.load / (1.0 + self.load)
        return self.mix_g * share


def chance_recipe(chance: Random, room_degc: float) -> ChanceRecipe:
    """Draw a recipe for a room of that temperature."""
    batch = _chance_batch(chance)
    wax = chance.choice(WAXES)
    add_high = _half(chance.uniform(*wax.add_high))
    pitcher = PitcherPlan(
        steel_g=round(chance.uniform(150.0, 450.0)),
        degc=round(chance.uniform(50.0, 75.0), 1),
        thinness=round(chance.uniform(0.75, 1.6), 2),
        convects=True,
    )
    wax_g = batch.mix_g - batch.fragrance_g
    cold_steel_k = pitcher.steel_g * 0.5 * (add_high - pitcher.degc) / (wax_g * 2.3)
    pot_degc = add_high + cold_steel_k + chance.uniform(1.5, 4.0)
    ready = outlook(pitcher, batch, add_high, room_degc)
    pour_high = _half(min(chance.uniform(*wax.pour_high), ready.poured_from_degc))
    width = max(chance.uniform(5.0, 8.0), ready.drop_k + 2.5)
    windows = (add_high, chance.uniform(5.0, 8.0), pour_high, width)
    never_above = max(wax.never_above, math.ceil(pot_degc + 3.0))
    card = read_card(_document(batch, wax.name, windows, never_above, chance))
    begins_degc = card.pour.low - chance.uniform(1.0, 6.0)
    ends_degc = begins_degc - chance.uniform(4.0, 12.0)
    setting = SettingRange(begins_degc, ends_degc, chance.uniform(*wax.fusion_j_per_g))
    lot_wax_g = batch.pitchers * batch.mix_g
    pot = PotPlan(wax_g=round(1.2 * lot_wax_g + 1500.0), degc=round(pot_degc, 1))
    return ChanceRecipe(
        card, batch.vessels, pot, pitcher, -(-batch.vessels // batch.in_pitcher), setting
    )


def hotter(recipe: ChanceRecipe, by_k: float) -> ChanceRecipe:
    """Return the recipe with a pot that is kept hotter, and a wax that stands it."""
    pot = replace(recipe.pot, degc=recipe.pot.degc + by_k)
    document = dict(recipe.card.document)
    never_above = max(recipe.card.never_above_degc, math.ceil(pot.degc + 3.0))
    document["wax"] = {**document["wax"], "never_above": f"{never_above:.0f} degC"}
    return replace(recipe, card=read_card(document), pot=pot)


def _chance_batch(chance: Random) -> _Batch:
    while True:
        fill_g = float(round(chance.triangular(60.0, 400.0, 160.0)))
        pitchers = chance.choice((1, 1, 1, 2, 2, 3))
        vessels = chance.randint(max(LEAST_VESSELS, 2 * pitchers), min(MOST_VESSELS, 10 * pitchers))
        batch = _Batch(
            fill_g=fill_g,
            vessels=vessels,
            pitchers=pitchers,
            residue_g=float(round(chance.uniform(5.0, 18.0))),
            load=round(chance.uniform(0.03, 0.12), 3),
            load_of=chance.choice(("wax", "total")),
            stir_s=5 * chance.randint(12, 36),
        )
        if batch.mix_g <= MOST_IN_PITCHER_G:
            return batch


def _half(degc: float) -> float:
    return math.floor(2.0 * degc) / 2.0


def _document(
    batch: _Batch,
    wax: str,
    windows: tuple[float, float, float, float],
    never_above: float,
    chance: Random,
) -> dict[str, object]:
    add_high, add_width, pour_high, pour_width = windows
    capacity_g = batch.mix_g + chance.uniform(0.0, 0.9) * batch.fill_g
    tolerance_g = chance.choice((2.0, 2.0, 2.0, 2.5, 3.0))
    return {
        "name": f"{wax} {batch.fill_g:.0f}",
        "vessel": {"fill": f"{batch.fill_g:.0f} g", "tolerance": f"{tolerance_g} g"},
        "pitcher": {
            "capacity": f"{math.ceil(capacity_g)} g",
            "residue": f"{batch.residue_g:.0f} g",
        },
        "wax": {"name": wax, "never_above": f"{never_above:.0f} degC"},
        "fragrance": {
            "name": "by chance",
            "load": f"{batch.load * 100:.1f} %",
            "load_of": batch.load_of,
            "flash_point": "110 degC",
            "add_between": _window(add_high, add_width),
        },
        "stir": {"at_least": f"{batch.stir_s} s"},
        "pour": {"between": _window(pour_high, pour_width)},
    }


def _window(high: float, width: float) -> list[str]:
    return [f"{_half(high - width)} degC", f"{high} degC"]
