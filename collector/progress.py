"""How far a lot has come: what was weighed so far, and what each next weighing should come to."""

from collections.abc import Iterable

from collector.additions import expect_fill, expect_fragrance, expect_wax
from collector.batch_sheet import BatchSheet
from collector.events import WeighingKind
from collector.expectations import Expectation, Outlook, Stage
from collector.recipes import Recipe


class Progress:
    """Where one lot stands: its pitcher (from 1), the stage of that, and the masses in it.

    `filled` counts the vessels of the whole lot. `stirred` says that a stir seems to lie behind
    this pitcher; whoever follows the stir sets it. `division_mg` is the scale's, once it shows;
    `cooled` whether the wax is on its way to the pour, None where nothing tells.
    """

    def __init__(self, recipe: Recipe, sheet: BatchSheet) -> None:
        self._recipe = recipe
        self._sheet = sheet
        self.stage = Stage.WAX
        self.stirred = False
        self.division_mg = 0
        self.cooled: bool | None = None
        self.pitcher = 1
        self.filled = 0
        self._fills: dict[int, int] = {}  # out of this pitcher
        self.wax_mg: int | None = None
        self.fragrance_mg: int | None = None

    @property
    def next_kind(self) -> WeighingKind:
        """What is weighed at this stage."""
        kinds = {Stage.WAX: WeighingKind.WAX, Stage.FRAGRANCE: WeighingKind.FRAGRANCE}
        return kinds.get(self.stage, WeighingKind.FILL)

    def vessels_due(self, pitcher: int) -> int:
        """Return how many vessels should be filled when a pitcher (from 1) is empty."""
        return sum(sheet.vessels for sheet in self._sheet.pitchers[:pitcher])

    @property
    def vessels_left(self) -> int:
        """How many vessels of this pitcher are still to be filled."""
        return self.vessels_due(self.pitcher) - self.filled

    @property
    def more_pitchers(self) -> bool:
        """Whether the lot has a pitcher after this one."""
        return self.pitcher < len(self._sheet.pitchers)

    @property
    def drawn_mg(self) -> int:
        """The wax in this pitcher (0.001 g): what was drawn, or should be while nothing was."""
        return self.wax_mg or self._sheet.pitchers[self.pitcher - 1].wax_mg

    def expected(self, kind: WeighingKind) -> Expectation:
        """Return what a weighing of this kind should come to now."""
        if kind is WeighingKind.WAX:
            return expect_wax(self._recipe, self._sheet, self.pitcher, self.division_mg)
        if kind is WeighingKind.FRAGRANCE:
            return expect_fragrance(self._recipe, self.drawn_mg, self.division_mg)
        return expect_fill(self._recipe)

    def outlook(self, drawing_mg: int | None) -> Outlook:
        """Return what can come next; `drawing_mg` is wax that rests, but is not accepted yet."""
        stage, wax_mg = self.stage, self.wax_mg
        if drawing_mg is not None and stage is Stage.WAX:
            stage, wax_mg = Stage.FRAGRANCE, drawing_mg
        return Outlook(
            stage,
            self.expected(WeighingKind.WAX),
            expect_fragrance(self._recipe, wax_mg or self.drawn_mg, self.division_mg),
            self.expected(WeighingKind.FILL),
            wax_mg,
            self.fragrance_mg,
            self.more_pitchers,
            self.stirred,
            self.cooled,
        )

    @property
    def left_mg(self) -> int:
        """What is left in this pitcher: wax and fragrance less the fills; 0.001 g."""
        whole = (self.wax_mg or 0) + (self.fragrance_mg or 0)
        return max(0, whole - sum(self._fills.values()))

    def already_mg(self, kind: WeighingKind) -> int:
        """Return how much of a kind is in this pitcher; 0.001 g, no vessel has any yet."""
        masses = {WeighingKind.WAX: self.wax_mg, WeighingKind.FRAGRANCE: self.fragrance_mg}
        return masses.get(kind) or 0

    def weighed(self, kind: WeighingKind, mass_mg: int, vessel: int | None) -> None:
        """Take note of a weighing, or of a revision of one; `vessel` is None but for fills."""
        if kind is WeighingKind.WAX:
            self.wax_mg = mass_mg
            self.stage = max(self.stage, Stage.FRAGRANCE)
        elif kind is WeighingKind.FRAGRANCE:
            self.fragrance_mg = mass_mg
            self.stage = max(self.stage, Stage.BLEND)
        elif vessel is not None:
            self._fills[vessel] = mass_mg
            self.filled = max(self.filled, vessel)

    def take_back(self, vessels: Iterable[int]) -> None:
        """Let vessels that seemed to be filled, the last ones, count as empty."""
        for vessel in vessels:
            self._fills.pop(vessel, None)
            self.filled = min(self.filled, vessel - 1)

    @property
    def pitcher_done(self) -> bool:
        """Whether all vessels of this pitcher are filled and another pitcher follows."""
        filled = self.stage is Stage.POUR and self.filled >= self.vessels_due(self.pitcher)
        return filled and self.more_pitchers

    def next_pitcher(self) -> None:
        """Begin with the next pitcher."""
        self.pitcher += 1
        self.stage = Stage.WAX
        self.wax_mg = self.fragrance_mg = None
        self._fills.clear()
        self.stirred = False
