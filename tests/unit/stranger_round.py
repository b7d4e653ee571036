"""One lot being worked at a scale: its plan, and what really went in."""

from dataclasses import dataclass, field

from feed_script import Script

from collector.batch_sheet import batch_sheet, fragrance_for
from collector.conclusions import WeighingKind
from collector.recipes import (
    FragranceSpec,
    LoadOf,
    PitcherSpec,
    Recipe,
    VesselSpec,
    WaxSpec,
    Window,
)

AMBER = Recipe(
    name="Juniper porch, 220 g",
    vessel=VesselSpec(220_000, 2_000),
    pitcher=PitcherSpec(1_500_000, 6_000),
    wax=WaxSpec("soy blend", never_above_mdegc=93_000),
    fragrance=FragranceSpec("juniper", 80_000, LoadOf.WAX, Window(80_000, 85_000), 96_000),
    stir_at_least_s=120,
    pour_between=Window(57_000, 63_000),
    pour=True,
    set_at_least_s=86_400,
    cure_at_least_s=1_209_600,
)
TIN = Recipe(
    name="Rain barrel, 120 g",
    vessel=VesselSpec(120_000, 2_000),
    pitcher=PitcherSpec(900_000, 4_000),
    wax=WaxSpec("rapeseed blend", never_above_mdegc=93_000),
    fragrance=FragranceSpec("rain", 70_000, LoadOf.TOTAL, Window(80_000, 85_000), 96_000),
    stir_at_least_s=90,
    pour_between=Window(57_000, 63_000),
    pour=True,
    set_at_least_s=86_400,
)


@dataclass(frozen=True)
class Plan:
    """What happens in a lot, whatever the style. Times in seconds; 0 for a pour is a jump."""

    recipe: Recipe = AMBER
    vessels: int = 3
    wax_off_g: float = 0.0
    fragrance_share: float = 1.0
    fragrance_goes: int = 1
    fill_off_g: dict[int, float] = field(default_factory=dict)
    left_out: tuple[int, ...] = ()
    add_c: float = 82.5
    pour_c: float = 60.0
    stir_s: float = 124.0
    marks: bool = True
    marks_early: bool = False
    wax_s: float = 14.0
    fragrance_s: float = 6.0
    fill_s: float = 7.0
    pause_s: float = 3.0
    lifts_last: bool = True
    vessel_g: float = 180.0
    skips_fragrance: bool = False


@dataclass
class Round:
    """One lot being worked: where the script stands, and what went in."""

    script: Script
    plan: Plan
    pitcher: int = 1
    empty_g: float = 0.0  # what the display shows for the pitcher alone
    away_g: float = 0.0  # and for the bare pan
    weighed_g: dict[tuple[WeighingKind, int, int | None], float] = field(default_factory=dict)

    def rest(self, times: float = 1.0) -> None:
        self.script.hold(self.plan.pause_s * times)

    def to(self, level_g: float) -> None:
        self.script.jump(level_g)
        self.rest()

    def wax_g(self) -> float:
        sheet = batch_sheet(self.plan.recipe, self.plan.vessels)
        return sheet.pitchers[self.pitcher - 1].wax_mg / 1000 + self.plan.wax_off_g

    def fragrance_g(self) -> float:
        target = fragrance_for(self.plan.recipe, round(self.wax_g() * 1000)) / 1000
        return target * self.plan.fragrance_share

    def fill_g(self, vessel: int) -> float:
        return self.plan.recipe.vessel.fill_mg / 1000 + self.plan.fill_off_g.get(vessel, 0.0)

    def pour_wax(self) -> None:
        self.script.add(self.wax_g(), self.plan.wax_s)
        self.script.note("wax", self.pitcher)
        self.weighed_g[WeighingKind.WAX, self.pitcher, None] = self.wax_g()
        self.rest()

    def pour_fragrance(self) -> None:
        if (WeighingKind.FRAGRANCE, self.pitcher, None) not in self.weighed_g:
            self.script.note("scenting", self.pitcher)
        self.script.add(self.fragrance_g(), self.plan.fragrance_s)
        total = self.weighed_g.get((WeighingKind.FRAGRANCE, self.pitcher, None), 0.0)
        self.weighed_g[WeighingKind.FRAGRANCE, self.pitcher, None] = total + self.fragrance_g()
        self.script.note("fragrance", self.pitcher)

    def begin_pour(self) -> None:
        if ("pouring", self.pitcher, None) not in self.script.evidence_us:
            self.script.note("pouring", self.pitcher)

    def pour_fill(self, vessel: int) -> None:
        self.begin_pour()
        self.script.add(self.fill_g(vessel), self.plan.fill_s)
        self.filled(vessel)
        if self.lifts(vessel):
            self.rest()

    def lifts(self, vessel: int) -> bool:
        """Whether a vessel is lifted: the last one may be left where it is."""
        return self.plan.lifts_last or vessel < self.plan.vessels

    def filled(self, vessel: int) -> None:
        self.script.note("fill", self.pitcher, vessel)
        self.weighed_g[WeighingKind.FILL, self.pitcher, vessel] = self.fill_g(vessel)
