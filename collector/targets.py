"""What each weighing of a lot should come to, by its recipe and its batch sheet."""

from collector.batch_sheet import BatchSheet, fragrance_for
from collector.expectations import Expectation
from collector.recipes import PPM, Recipe

LEAST_TOLERANCE_MG = 500
"""No bench scale tells less than this apart in the middle of a pour."""


class Targets:
    """The targets of one lot; pitchers count from 1, masses are 0.001 g.

    `division_mg` is the scale's, once it shows: no mass can be told closer than that, for the
    base is rounded, and the sum.
    """

    def __init__(self, recipe: Recipe, sheet: BatchSheet) -> None:
        self._recipe = recipe
        self._sheet = sheet
        self._due = [0]
        for pitcher in sheet.pitchers:
            self._due.append(self._due[-1] + pitcher.vessels)
        self.division_mg = 0

    @property
    def pitchers(self) -> int:
        """How many pitchers the lot has."""
        return len(self._sheet.pitchers)

    @property
    def residue_mg(self) -> int:
        """What stays on the wall of a pitcher that is poured."""
        return self._recipe.pitcher.residue_mg

    @property
    def vessels(self) -> int:
        """How many vessels the lot has."""
        return self._due[-1]

    def vessels_due(self, pitcher: int) -> int:
        """Return how many vessels should be filled when a pitcher is empty."""
        return self._due[min(pitcher, self.pitchers)]

    def vessels_of(self, pitcher: int) -> int:
        """Return how many vessels are filled from one pitcher."""
        return self.vessels_due(pitcher) - self.vessels_due(pitcher - 1)

    def wax(self, pitcher: int) -> Expectation:
        """Return the wax that a pitcher should hold."""
        target = self._sheet.pitchers[pitcher - 1].wax_mg
        return self._expectation(target, self._recipe.wax.tolerance_ppm)

    def fragrance(self, wax_mg: int) -> Expectation:
        """Return the fragrance for the wax that was really drawn."""
        target = fragrance_for(self._recipe, wax_mg)
        return self._expectation(target, self._recipe.fragrance.tolerance_ppm)

    def fill(self) -> Expectation:
        """Return the fill of every vessel."""
        return Expectation(self._recipe.vessel.fill_mg, self._recipe.vessel.tolerance_mg)

    def _expectation(self, target_mg: int, tolerance_ppm: int) -> Expectation:
        tolerance_mg = max(LEAST_TOLERANCE_MG, self.division_mg, target_mg * tolerance_ppm // PPM)
        return Expectation(target_mg, tolerance_mg)
