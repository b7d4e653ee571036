"""Something being poured into the container on the scale, and what it should come to."""

from dataclasses import dataclass

from collector.batch_sheet import BatchSheet, fragrance_for
from collector.events import Evidence, WeighingKind
from collector.expectations import Expectation
from collector.recipes import PPM, Recipe
from collector.weighings import Plateau

MET_US = 1_600_000
"""How long a mass on its target must rest: the median of a restless scale takes that long."""

REST_US = 2_500_000
"""How long a mass that is off its target must rest before it is taken for final: a person who
tops up does so sooner, one who does not wants to be told while she can. Common practice, no
source."""

DRAWING_US = 8_000_000
"""The same where wax is far from its target: it is drawn ladle by ladle. Common practice, no
source."""

DRAWN_PPM = 800_000
"""From this share of its target on, wax counts as drawn."""

LEAST_SHARE_PPM = {
    WeighingKind.WAX: 300_000,
    WeighingKind.FRAGRANCE: 200_000,
    WeighingKind.FILL: 300_000,
}
"""The least share of its target that makes an addition a weighing, not a drip or a hand."""

LEAST_TOLERANCE_MG = 500
"""No bench scale tells less than this apart in the middle of a pour."""


def expect_wax(recipe: Recipe, sheet: BatchSheet, pitcher: int) -> Expectation:
    """Return the wax that a pitcher (from 1) of the lot should hold."""
    target = sheet.pitchers[pitcher - 1].wax_mg
    return Expectation(target, _tolerance(target, recipe.wax.tolerance_ppm))


def expect_fragrance(recipe: Recipe, wax_mg: int) -> Expectation:
    """Return the fragrance for the wax that was really drawn."""
    target = fragrance_for(recipe, wax_mg)
    return Expectation(target, _tolerance(target, recipe.fragrance.tolerance_ppm))


def expect_fill(recipe: Recipe) -> Expectation:
    """Return the fill of every vessel."""
    return Expectation(recipe.vessel.fill_mg, recipe.vessel.tolerance_mg)


def _tolerance(target_mg: int, tolerance_ppm: int) -> int:
    return max(LEAST_TOLERANCE_MG, target_mg * tolerance_ppm // PPM)


@dataclass
class Addition:
    """Something being poured: what, from which display value on, and what it came to.

    `base_mg` is the display's value without it, so `display - base_mg` is its mass; a tare moves
    the base. `accepted_mg` is what was last accepted as its weighing.
    """

    kind: WeighingKind
    base_mg: int
    start: Plateau
    vessel: int | None
    accepted_mg: int | None = None

    def net_mg(self, display_mg: int) -> int:
        """Return its mass at a display value."""
        return display_mg - self.base_mg

    def counts(self, plateau: Plateau, expected: Expectation) -> bool:
        """Tell whether there is enough of it to be a weighing."""
        return (
            self.net_mg(plateau.value_mg) * PPM >= LEAST_SHARE_PPM[self.kind] * expected.target_mg
        )

    def is_final(self, plateau: Plateau, expected: Expectation) -> bool:
        """Tell whether a resting scale shows what this addition came to."""
        if self.accepted_mg is None and expected.met_by(self.net_mg(plateau.value_mg)):
            return plateau.rested_us() >= MET_US
        drawing = self.kind is WeighingKind.WAX and not self.drawn(plateau, expected)
        rest_us = DRAWING_US if drawing else REST_US
        return self.counts(plateau, expected) and plateau.rested_us() >= rest_us

    def drawn(self, plateau: Plateau, expected: Expectation) -> bool:
        """Tell whether it is so much that it may well be all of it."""
        return self.net_mg(plateau.value_mg) * PPM >= DRAWN_PPM * expected.target_mg

    def evidence(self, channel: str, plateau: Plateau) -> Evidence:
        """Return the readings from the plateau before it to the one after."""
        count = plateau.last - self.start.first + 1
        return Evidence(channel, self.start.from_us, plateau.to_us, count)
