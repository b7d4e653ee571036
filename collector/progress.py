"""How far a lot has come: what was told of it, and what each next weighing should come to."""

from collector.conclusions import WeighingKind
from collector.expectations import Expectation, Stage
from collector.targets import Targets


class Progress:
    """Where one lot stands: its pitcher (from 1), the stage of that, and the masses in it.

    `filled` counts the vessels of the whole lot.
    """

    def __init__(self, targets: Targets) -> None:
        self.targets = targets
        self.stage = Stage.WAX
        self.pitcher = 1
        self.filled = 0
        self.wax_mg: int | None = None
        self.fragrance_mg: int | None = None

    @property
    def next_kind(self) -> WeighingKind:
        """What is weighed at this stage."""
        kinds = {Stage.WAX: WeighingKind.WAX, Stage.FRAGRANCE: WeighingKind.FRAGRANCE}
        return kinds.get(self.stage, WeighingKind.FILL)

    def vessels_due(self, pitcher: int) -> int:
        """Return how many vessels should be filled when a pitcher (from 1) is empty."""
        return self.targets.vessels_due(pitcher)

    @property
    def more_pitchers(self) -> bool:
        """Whether the lot has a pitcher after this one."""
        return self.pitcher < self.targets.pitchers

    @property
    def drawn_mg(self) -> int:
        """The wax in this pitcher (0.001 g): what was drawn, or should be while nothing was."""
        return self.wax_mg or self.targets.wax(self.pitcher).target_mg

    def expected(self, kind: WeighingKind) -> Expectation:
        """Return what a weighing of this kind should come to now."""
        if kind is WeighingKind.WAX:
            return self.targets.wax(self.pitcher)
        if kind is WeighingKind.FRAGRANCE:
            return self.targets.fragrance(self.drawn_mg)
        return self.targets.fill()

    def began(self, kind: WeighingKind) -> None:
        """Take note that something is being poured: a first fill begins the pour."""
        if kind is WeighingKind.FILL:
            self.stage = Stage.POUR

    def weighed(self, kind: WeighingKind, mass_mg: int, vessel: int | None) -> None:
        """Take note of a weighing, or of a revision of one; `vessel` is None but for fills."""
        if kind is WeighingKind.WAX:
            self.wax_mg = mass_mg
            self.stage = max(self.stage, Stage.FRAGRANCE)
        elif kind is WeighingKind.FRAGRANCE:
            self.fragrance_mg = mass_mg
            self.stage = max(self.stage, Stage.BLEND)
        elif vessel is not None:
            self.filled = max(self.filled, vessel)

    def withdrawn(self, kind: WeighingKind, filled: int) -> None:
        """Take note that a weighing never was, and that so many vessels are filled without it."""
        if kind is WeighingKind.WAX:
            self.wax_mg = None
        elif kind is WeighingKind.FRAGRANCE:
            self.fragrance_mg = None
        self.filled = filled
        before = Stage.BLEND if self.fragrance_mg is not None else Stage.FRAGRANCE
        self.stage = min(self.stage, before if self.wax_mg is not None else Stage.WAX)

    def not_begun(self, kind: WeighingKind) -> None:
        """Take note that nothing of a kind was poured from this pitcher after all."""
        if kind is WeighingKind.FILL:
            self.withdrawn(kind, self.filled)

    def turn_to(self, pitcher: int) -> None:
        """Begin with a later pitcher."""
        self.pitcher = pitcher
        self.stage = Stage.WAX
        self.wax_mg = self.fragrance_mg = None
