"""Something being poured into the container on the scale, and what it should come to."""

import math
from dataclasses import dataclass

from collector.batch_sheet import BatchSheet, fragrance_for
from collector.events import Evidence, WeighingKind
from collector.expectations import Expectation
from collector.recipes import PPM, Recipe
from collector.weighings import Plateau, Step

MET_US = 1_600_000
"""How long a mass on its target must rest: the median of a restless scale takes that long."""

REST_US = 2_500_000
"""How long a mass that is off its target must rest before it is taken for final: a person who
tops up does so sooner, one who does not wants to be told while she can. Common practice, no
source."""

DRAWING_US = 8_000_000
"""The same where wax is far from its target: it is drawn ladle by ladle. Common practice, no
source."""

TARED_US = 12_000_000
"""The same after a tare in between: who tares half of the wax goes on. Common practice, no
source."""

DRAWN_PPM = 800_000
"""From this share of its target on, wax counts as drawn."""

SCENTED_US = 2_800_000
DRIPPING_US = 3_400_000
"""The same for fragrance, which ends in drops, and for fragrance on a coarse scale, which does not
show the first drops of the rest."""

LAID_US = 9_000_000
"""What arrived at once on a scale that shows pouring may be a thing laid down for a moment."""

TRIM_SHARE = 0.15
TRIM_SLOWER = 3.0
"""A last go that is small and slow is one that is poured to the mark: she thinks she is done."""

LEAST_SHARE_PPM = {
    WeighingKind.WAX: 300_000,
    WeighingKind.FRAGRANCE: 200_000,
    WeighingKind.FILL: 300_000,
}
"""The least share of its target that makes an addition a weighing, not a drip or a hand."""

LEAST_TOLERANCE_MG = 500
"""No bench scale tells less than this apart in the middle of a pour."""


def expect_wax(
    recipe: Recipe, sheet: BatchSheet, pitcher: int, division_mg: int = 0
) -> Expectation:
    """Return the wax that a pitcher (from 1) of the lot should hold, on such a scale."""
    target = sheet.pitchers[pitcher - 1].wax_mg
    return Expectation(target, _tolerance(target, recipe.wax.tolerance_ppm, division_mg))


def expect_fragrance(recipe: Recipe, wax_mg: int, division_mg: int = 0) -> Expectation:
    """Return the fragrance for the wax that was really drawn, on such a scale."""
    target = fragrance_for(recipe, wax_mg)
    return Expectation(target, _tolerance(target, recipe.fragrance.tolerance_ppm, division_mg))


def expect_fill(recipe: Recipe) -> Expectation:
    """Return the fill of every vessel."""
    return Expectation(recipe.vessel.fill_mg, recipe.vessel.tolerance_mg)


def _tolerance(target_mg: int, tolerance_ppm: int, division_mg: int) -> int:
    """No mass can be told closer than the scale's division: the base is rounded, and the sum."""
    return max(LEAST_TOLERANCE_MG, division_mg, target_mg * tolerance_ppm // PPM)


@dataclass
class Addition:
    """Something being poured: what, from which display value on, and what it came to.

    `base_mg` is the display's value without it, so `display - base_mg` is its mass; a tare moves
    the base. `accepted_mg` is what was last accepted as its weighing; `known_mg` what it came to
    when it `rested` or was tared, accepted or not; `rise` is where more came that may be another
    thing; `follows` is the wax that fragrance came right after; `had_mg` what was there before
    it. `lost` fills of a pitcher that stands on the scale are what it lost since the base.
    `announced` is False while it is not sure what it is; `apart` says that it goes into a
    beaker; `laid` that it came at once.
    """

    kind: WeighingKind
    base_mg: int
    start: Plateau
    vessel: int | None
    accepted_mg: int | None = None
    rested: Plateau | None = None
    known_mg: int | None = None
    had_mg: int = 0
    lost: int = 0
    announced: bool = True
    apart: bool = False
    laid: bool = False
    coarse: bool = False
    tared: bool = False
    goes: int = 0
    gone_us: int = 0
    rise: Plateau | None = None
    follows: "Addition | None" = None
    trimmed: bool = False
    quickest: float = 0.0

    def net_mg(self, display_mg: int) -> int:
        """Return its mass at a display value."""
        return self.base_mg - display_mg if self.lost else display_mg - self.base_mg

    def went(self, step: Step, target_mg: int) -> None:
        """Take note of one go of it: ladle after ladle, and then to the mark."""
        took_us = max(1, step.after.from_us - step.before.to_us)
        speed = step.change_mg / took_us
        self.goes, self.gone_us = self.goes + 1, step.after.from_us
        small = step.change_mg <= target_mg * TRIM_SHARE
        self.trimmed = small and speed * TRIM_SLOWER <= self.quickest
        self.quickest = max(self.quickest, speed)

    def came_at_once(self, at_us: int) -> None:
        """Take note that it was drawn elsewhere and set down at about a time."""
        self.goes, self.gone_us, self.quickest = 1, at_us, math.inf

    def counts(self, plateau: Plateau, expected: Expectation) -> bool:
        """Tell whether there is enough of it to be a weighing."""
        return (
            self.net_mg(plateau.value_mg) * PPM >= LEAST_SHARE_PPM[self.kind] * expected.target_mg
        )

    def is_final(self, plateau: Plateau, expected: Expectation) -> bool:
        """Tell whether a resting scale shows what this addition came to."""
        if self.laid:
            return self.counts(plateau, expected) and plateau.rested_us() >= LAID_US
        if self.accepted_mg is None and expected.met_by(self.net_mg(plateau.value_mg)):
            return plateau.rested_us() >= MET_US
        return self.counts(plateau, expected) and plateau.rested_us() >= self._rest_us(
            plateau, expected
        )

    def _rest_us(self, plateau: Plateau, expected: Expectation) -> int:
        """Return how long a mass that is off its target must rest."""
        if self.kind is WeighingKind.WAX and not self.seems_done(plateau, expected):
            return TARED_US if self.tared else DRAWING_US
        if self.kind is WeighingKind.FRAGRANCE:
            return DRIPPING_US if self.coarse else SCENTED_US
        return REST_US

    def seems_done(self, plateau: Plateau, expected: Expectation) -> bool:
        """Tell whether nobody would wait for another ladle."""
        if self.accepted_mg is not None:
            return True
        return self.drawn(plateau, expected) and (self.goes <= 1 or self.trimmed)

    def drawn(self, plateau: Plateau, expected: Expectation) -> bool:
        """Tell whether it is so much that it may well be all of it."""
        return self.net_mg(plateau.value_mg) * PPM >= DRAWN_PPM * expected.target_mg

    def evidence(self, channel: str, plateau: Plateau) -> Evidence:
        """Return the readings from the plateau before it to the one after."""
        count = plateau.last - self.start.first + 1
        return Evidence(channel, self.start.from_us, plateau.to_us, count)
