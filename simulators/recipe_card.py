"""What a maker needs from a recipe: its document's quantities as numbers.

Only the units that the scenarios use are known: the service reads recipes for real.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

_FACTORS = {
    "g": 1.0,
    "kg": 1000.0,
    "s": 1.0,
    "min": 60.0,
    "h": 3600.0,
    "day": 86400.0,
    "degC": 1.0,
    "°C": 1.0,
    "%": 0.01,
}

Document = Mapping[str, Any]


def amount(text: str) -> float:
    """Return a quantity such as `220 g`, `8 %` or `2 min` in grams, seconds, °C or as a share.

    Raises ValueError for anything else.
    """
    number, _, unit = text.partition(" ")
    if unit not in _FACTORS:
        known = ", ".join(_FACTORS)
        raise ValueError(f"{text!r} needs a unit that the simulated maker knows: {known}")
    return float(number) * _FACTORS[unit]


@dataclass(frozen=True)
class Range:
    """A temperature window, °C."""

    low: float
    high: float


@dataclass(frozen=True)
class RecipeCard:
    """The numbers of one recipe: grams, °C, seconds, loads as shares.

    `document` is the recipe as the service gets it.
    """

    name: str
    document: Document
    fill_g: float
    fill_tolerance_g: float
    load: float
    load_of_total: bool
    add: Range
    pour: Range
    stir_s: float
    never_above_degc: float

    def fragrance_for(self, wax_g: float) -> float:
        """Return the fragrance, grams, that the wax really drawn should get.

        Load of wax: f W. Load of total: f (W + F), so F = f W / (1 - f).
        """
        share = self.load / (1.0 - self.load) if self.load_of_total else self.load
        return wax_g * share


def read_card(document: Document) -> RecipeCard:
    """Return the card of a recipe; raises KeyError or ValueError where it is incomplete."""
    fragrance = document["fragrance"]
    return RecipeCard(
        name=document["name"],
        document=document,
        fill_g=amount(document["vessel"]["fill"]),
        fill_tolerance_g=amount(document["vessel"]["tolerance"]),
        load=amount(fragrance["load"]),
        load_of_total=fragrance["load_of"] == "total",
        add=_range(fragrance["add_between"]),
        pour=_range(document["pour"]["between"]),
        stir_s=amount(document["stir"]["at_least"]),
        never_above_degc=amount(document["wax"]["never_above"]),
    )


def _range(pair: list[str]) -> Range:
    low, high = pair
    return Range(amount(low), amount(high))
