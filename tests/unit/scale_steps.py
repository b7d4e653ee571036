"""Builders for scenes: what a scale shows, step by step, in grams and seconds.

`Hands` follow the likeliest scene in their own time: each move leaves a rest and comes to the next.
"""

from dataclasses import dataclass, field

from stranger_round import AMBER

from collector.additions import Addition, Key
from collector.batch_sheet import batch_sheet
from collector.case import Case, Warmth
from collector.conclusions import WeighingKind
from collector.recipes import Recipe
from collector.scene import Load, Scene
from collector.stories import following
from collector.targets import Targets
from collector.weighings import Plateau, Step

SECOND_US = 1_000_000
READINGS_PER_S = 5
PITCHER_MG, VESSEL_MG, BEAKER_MG = 310_000, 180_000, 64_000

WAX, FRAGRANCE, FILL = WeighingKind.WAX, WeighingKind.FRAGRANCE, WeighingKind.FILL


def mg(grams: float) -> int:
    return round(grams * 1000)


def us(seconds: float) -> int:
    return round(seconds * SECOND_US)


def plateau(grams: float, from_s: float = 0.0, to_s: float | None = None) -> Plateau:
    """A scale that has rested at a value from one second to another, three seconds on."""
    until_s = from_s + 3.0 if to_s is None else to_s
    first, last = round(from_s * READINGS_PER_S) + 1, round(until_s * READINGS_PER_S) + 1
    return Plateau(mg(grams), us(from_s), us(until_s), first, last, us(from_s), us(from_s))


def step(
    before_g: float, after_g: float, *, at_s: float = 3.0, took_s: float = 0.0, rest_s: float = 3.0
) -> Step:
    """A change that left its plateau at a second; one that takes no time is abrupt."""
    arrived_s = at_s + max(took_s, 0.4)
    before = plateau(before_g, at_s - 3.0, at_s)
    after = plateau(after_g, arrived_s, arrived_s + rest_s)
    return Step(before, after, abrupt=took_s == 0.0)


def targets_of(recipe: Recipe = AMBER, vessels: int = 3) -> Targets:
    return Targets(recipe, batch_sheet(recipe, vessels))


def case_of(
    *,
    recipe: Recipe = AMBER,
    vessels: int = 3,
    warmth: Warmth = Warmth.UNKNOWN,
    division_g: float = 0.1,
    typed: bool = False,
) -> Case:
    targets = targets_of(recipe, vessels)
    return Case(targets, warmth, mg(division_g), max(400, mg(division_g * 2.2)), typed)


def addition_of(
    kind: WeighingKind,
    grams: float,
    *,
    base_g: float = 0.0,
    vessel: int | None = None,
    pitcher: int = 1,
    gone_s: float = 0.0,
    apart: bool = False,
) -> Addition:
    """Something that was poured in one go and has rested since."""
    return Addition(
        Key(kind, pitcher, vessel),
        plateau(base_g, gone_s - 10, gone_s - 5),
        mg(base_g),
        net_mg=mg(grams),
        rested=plateau(base_g + grams, gone_s, gone_s + 3),
        gone_us=us(gone_s),
        goes=1,
        apart=apart,
    )


def costs_of(scene: Scene, move: Step, case: Case) -> list[tuple[float, Scene]]:
    """All that may follow from a step, the likeliest first."""
    found = [(cost, after) for after, cost in following(scene, move, case)]
    return sorted(found, key=lambda each: each[0])


@dataclass
class Hands:
    """Somebody works at a scale, and the likeliest scene is followed after each move."""

    case: Case = field(default_factory=case_of)
    scene: Scene = field(default_factory=lambda: Scene(bare_mg=0))
    shown_g: float = 0.0
    now_s: float = 3.0

    def follow(self, move: Step) -> Scene:
        self.scene = costs_of(self.scene.at_rest(move.before), move, self.case)[0][1]
        self.shown_g, self.now_s = move.after.value_mg / 1000, move.after.to_us / SECOND_US
        return self.scene

    def to(self, level_g: float, *, took_s: float = 0.0) -> Scene:
        """Put, take or tare: the display shows another level at once."""
        return self.follow(self.next(level_g, took_s=took_s))

    def pour(self, grams: float, took_s: float = 8.0) -> Scene:
        return self.to(self.shown_g + grams, took_s=took_s)

    def wait(self, seconds: float) -> None:
        self.now_s += seconds

    def next(self, level_g: float, *, took_s: float = 0.0) -> Step:
        """Return the step to a level without following it."""
        return step(self.shown_g, level_g, at_s=self.now_s, took_s=took_s)

    def draw_wax(self, grams: float = 616.7) -> Scene:
        """Put the pitcher on the bare scale and draw its wax."""
        self.to(self.shown_g + PITCHER_MG / 1000)
        return self.pour(grams, 14.0)

    def scent(self, grams: float = 49.3) -> Scene:
        self.wait(20)
        return self.pour(grams, 8.0)

    def lift(self) -> Scene:
        """Take all off: down to the bare pan."""
        bare_mg = self.scene.bare_mg
        assert bare_mg is not None
        return self.to(bare_mg / 1000)

    def fill_one(self, grams: float = 220.0) -> Scene:
        """Put a vessel on the bare scale and fill it."""
        self.to(self.shown_g + VESSEL_MG / 1000)
        return self.pour(grams, 8.0)


def blended(case: Case | None = None) -> Hands:
    """Wax and fragrance are in the pitcher, which stands on the scale."""
    hands = Hands(case or case_of())
    hands.draw_wax()
    hands.scent()
    return hands


def loads(found: list[tuple[float, Scene]]) -> set[Load]:
    return {scene.load for _, scene in found}
