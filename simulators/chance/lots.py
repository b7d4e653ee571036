"""One lot drawn at random: what is made, by whom, on which instruments, and what goes wrong.

lot = chance_lot(seed=7, number=12)
"""

from dataclasses import dataclass
from random import Random

from simulators.chance.faults import Setting, chance_faults
from simulators.chance.habits import chance_habits, chance_instruments, chance_vessel_g
from simulators.chance.recipes import chance_recipe, hotter
from simulators.faults import FaultKind
from simulators.instruments import Instruments
from simulators.noise import seeded
from simulators.scenario import LotPlan, Scenario

WARMER_K = 4.5
"""How much hotter the pot is where fragrance goes in too warm: the pitcher's steel and a beaker
take their time and their heat."""


@dataclass(frozen=True)
class ChanceLot:
    """A day of one lot. `seed` makes the noise of its instruments and the slips of its maker."""

    seed: int
    scenario: Scenario
    instruments: Instruments

    @property
    def plan(self) -> LotPlan:
        """The lot as its maker means to make it."""
        return self.scenario.lots[0]


def lot_seed(seed: int, number: int, attempt: int = 0) -> int:
    """Return the seed of one lot of a trial: the same whatever other lots are played."""
    return Random(f"{seed}/{number}/{attempt}").getrandbits(48)  # noqa: S311 - a simulation


def chance_lot(seed: int, number: int, attempt: int = 0) -> ChanceLot:
    """Draw lot `number` of the trial `seed`.

    A lot that cannot be played as it was drawn (its wax is too cool before its pour) raises
    ScenarioError in play; the next `attempt` draws another in its place.
    """
    own = lot_seed(seed, number, attempt)
    chance = seeded(own)
    room_degc = round(chance.uniform(16.0, 30.0), 1)
    recipe = chance_recipe(chance, room_degc)
    habits, instruments = chance_habits(chance), chance_instruments(chance)
    faults = chance_faults(chance, Setting(recipe, habits, instruments, recipe.pitchers))
    if any(fault.kind is FaultKind.FRAGRANCE_TOO_WARM for fault in faults):
        recipe = hotter(recipe, WARMER_K)
    plan = LotPlan(
        recipe=recipe.card,
        vessels=recipe.vessels,
        vessel_g=chance_vessel_g(chance, recipe.card.fill_g),
        habits=habits,
        setting=recipe.setting,
        faults=faults,
    )
    scenario = Scenario(
        name=f"lot {number}",
        room_degc=room_degc,
        pot=recipe.pot,
        recipes=(recipe.card,),
        lots=(plan,),
        pitcher=recipe.pitcher,
        resolution_g=instruments.scale.resolution_g,
    )
    return ChanceLot(own, scenario, instruments)
