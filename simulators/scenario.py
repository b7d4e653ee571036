"""A scenario: the recipes and lots of one simulated day, read from TOML."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from simulators.faults import Fault, FaultKind
from simulators.physics.heat import SettingRange
from simulators.recipe_card import RecipeCard, read_card
from simulators.wire.serial_scales import Dialect

FOLDER = Path(__file__).parent / "scenarios"


class ScenarioError(Exception):
    """The scenario cannot be played as it is written."""


@dataclass(frozen=True)
class Habits:
    """How this maker works in a lot; all of these are good practice or at least common.

    `ladles` is the number of goes in which wax is drawn, 0 for the usual three strokes;
    `waits_on` is where the drawn wax waits for its fragrance (`scale`, `bench` or `plate`).
    `weighs_apart`: the fragrance goes into a beaker first. `fills_by_loss`: the pitcher stands on
    the scale and each vessel is filled beside it. `two_goes` and `puts_back` are shares of the
    vessels that are topped up, or taken off and put back; `strays` is how often, at a pause, a
    hand, a knock or a thing laid down disturbs the scale.
    """

    tares_pitcher: bool = True
    tares_fragrance: bool = True
    tares_vessels: bool = True
    stirs_on_scale: bool = True
    cools_on_scale: bool = False
    swaps_quickly: bool = False
    ladles: int = 0
    overshoots: bool = False
    draws_at_pot: bool = False
    draws_in_two_goes: bool = False
    waits_on: str = "scale"
    weighs_apart: bool = False
    tares_beaker: bool = True
    tips_in_on_scale: bool = True
    adds_a_drop: bool = False
    cools_on_plate: bool = False
    fills_by_loss: bool = False
    tares_loss: bool = True
    two_goes: float = 0.0
    puts_back: float = 0.0
    strays: float = 0.0


@dataclass(frozen=True)
class PotPlan:
    """A pot as it stands ready: grams of wax, °C it is held at."""

    wax_g: float
    degc: float


@dataclass(frozen=True)
class PitcherPlan:
    """The pitchers in use: grams of steel, °C they are warmed to, how fast and how they cool."""

    steel_g: float = 300.0
    degc: float = 60.0
    thinness: float = 1.0
    convects: bool = False


@dataclass(frozen=True)
class LotPlan:
    """One lot as the maker means to make it, mishaps included. `pot` is put on before it.

    `setting` is where its wax sets, None for wax that is never cooled so far.
    """

    recipe: RecipeCard
    vessels: int
    vessel_g: float
    habits: Habits = field(default_factory=Habits)
    pot: PotPlan | None = None
    setting: SettingRange | None = None
    faults: tuple[Fault, ...] = ()

    def fault(self, kind: FaultKind, pitcher: int) -> Fault | None:
        """Return the planted fault of that kind for that pitcher, if any."""
        return next((f for f in self.faults if (f.kind, f.pitcher) == (kind, pitcher)), None)

    def vessel_fault(self, kind: FaultKind, vessel: int) -> Fault | None:
        """Return the planted fault of that kind for that vessel, if any."""
        return next((f for f in self.faults if (f.kind, f.vessel) == (kind, vessel)), None)


@dataclass(frozen=True)
class Scenario:
    """One day. `settle_s` is how long the workshop runs before the first lot."""

    name: str
    room_degc: float
    pot: PotPlan
    recipes: tuple[RecipeCard, ...]
    lots: tuple[LotPlan, ...]
    pitcher: PitcherPlan = PitcherPlan()
    dialect: Dialect = Dialect.STATUS
    resolution_g: float = 0.1
    settle_s: float = 20.0


def scenario_names() -> list[str]:
    """Return the names of the scenarios that come with the simulators."""
    return sorted(path.stem for path in FOLDER.glob("*.toml"))


def load_scenario(name: str) -> Scenario:
    """Return the scenario of that name; raises ScenarioError where it cannot be used."""
    path = FOLDER / f"{name}.toml"
    if not path.is_file():
        known = ", ".join(scenario_names())
        raise ScenarioError(f"There is no scenario {name!r}; there are: {known}")
    try:
        return read_scenario(name, tomllib.loads(path.read_text(encoding="utf-8")))
    except (KeyError, TypeError, ValueError) as error:
        raise ScenarioError(f"Scenario {name!r} cannot be used: {error!r}") from error


def read_scenario(name: str, document: Mapping[str, Any]) -> Scenario:
    """Return the scenario that a TOML document describes.

    Raises KeyError, TypeError or ValueError for missing, unknown or impossible keys.
    """
    rest = dict(document)
    recipes = {item["name"]: read_card(item) for item in rest.pop("recipe")}
    lots = tuple(_lot(item, recipes) for item in rest.pop("lot"))
    pot = PotPlan(**rest.pop("pot"))
    pitcher = PitcherPlan(**rest.pop("pitcher", {}))
    dialect = Dialect(rest.pop("dialect", Dialect.STATUS))
    return Scenario(
        name=name,
        pot=pot,
        pitcher=pitcher,
        recipes=tuple(recipes.values()),
        lots=lots,
        dialect=dialect,
        **rest,
    )


def _lot(item: Mapping[str, Any], recipes: Mapping[str, RecipeCard]) -> LotPlan:
    rest = dict(item)
    recipe = recipes[rest.pop("recipe")]
    habits = Habits(**rest.pop("habits", {}))
    pot = PotPlan(**rest.pop("pot")) if "pot" in rest else None
    setting = SettingRange(**rest.pop("setting")) if "setting" in rest else None
    faults = tuple(_fault(fault) for fault in rest.pop("fault", ()))
    return LotPlan(recipe=recipe, habits=habits, pot=pot, setting=setting, faults=faults, **rest)


def _fault(item: Mapping[str, Any]) -> Fault:
    rest = dict(item)
    return Fault(kind=FaultKind(rest.pop("kind")), **rest)
