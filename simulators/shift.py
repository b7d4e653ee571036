"""What a maker carries through the day: the bench, the service, and what was planted."""

from collections.abc import Callable
from dataclasses import dataclass, field

from simulators.bench_model import BenchModel
from simulators.diary import SHOWS_AT, Diary, Mishap, Moment
from simulators.faults import EXPECTED, FaultKind, Planted
from simulators.hands import Hands, Motion
from simulators.physics.pitcher import Stand, warm_plate
from simulators.recipe_card import RecipeCard
from simulators.scenario import LotPlan, PitcherPlan
from simulators.service import Service

PLATE_BELOW_K = 8.0
"""How far below the pour window the plate is kept on which a pitcher waits."""


@dataclass(frozen=True)
class OpenLot:
    """A lot in work: its id at the service and the maker's plan."""

    id: str
    plan: LotPlan


@dataclass
class Shift:
    """One maker's day. `say` takes a line for each action; `marks` is whether she marks phases.

    `troubles` are motions that go on beside hers, such as a probe that falls out.
    """

    bench: BenchModel
    hands: Hands
    service: Service
    pitcher: PitcherPlan
    say: Callable[[str], None]
    marks: bool = True
    planted: list[Planted] = field(default_factory=list)
    troubles: list[Motion] = field(default_factory=list)
    diary: Diary = field(default_factory=Diary)

    def mark(self, lot: OpenLot, phase: str, edge: str) -> None:
        """Press the page's button, if this maker does."""
        if self.marks:
            self.service.mark(lot.id, phase, edge)

    def plate(self, card: RecipeCard) -> Stand:
        """Return the plate that keeps a pitcher from cooling fast: warm, below the pour."""
        return warm_plate(card.pour.low - PLATE_BELOW_K)

    def plant(  # noqa: PLR0913, PLR0917 - one argument for each thing that is noted
        self,
        lot: OpenLot,
        kind: FaultKind,
        what: str,
        vessel: int | None = None,
        pitcher: int = 1,
        subject: str | None = None,
    ) -> Mishap:
        """Note down a mishap that has really been carried out."""
        expected = EXPECTED[kind]
        name = lot.plan.recipe.name
        self.planted.append(Planted(lot.id, name, expected.rule, expected.phase, vessel, what))
        shows = SHOWS_AT.get(kind, Moment.NOW)
        now_s = self.bench.time_s
        mishap = Mishap(kind, expected, pitcher, vessel, subject, what, shows, now_s)
        if shows is Moment.NOW:
            mishap.evident_s = now_s
        self.diary.mishaps.append(mishap)
        self.say(f"! {what}")
        return mishap

    def clear_bench(self) -> None:
        """Take everything away, and end what troubles there are: this lot goes no further."""
        self.bench.pitcher = self.bench.vessel_g = None
        self.bench.on_pan.clear()
        self.bench.pouring = False
        self.troubles.clear()

    def trouble(self) -> None:
        """Let the troubles go on by one step."""
        going = []
        for motion in self.troubles:
            try:
                next(motion)
            except StopIteration:
                continue
            going.append(motion)
        self.troubles[:] = going
