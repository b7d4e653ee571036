"""What a maker carries through the day: the bench, the service, and what was planted."""

from collections.abc import Callable
from dataclasses import dataclass, field

from simulators.bench_model import BenchModel
from simulators.faults import EXPECTED, FaultKind, Planted
from simulators.hands import Hands, Motion
from simulators.scenario import LotPlan, PitcherPlan
from simulators.service import Service


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

    def mark(self, lot: OpenLot, phase: str, edge: str) -> None:
        """Press the page's button, if this maker does."""
        if self.marks:
            self.service.mark(lot.id, phase, edge)

    def plant(self, lot: OpenLot, kind: FaultKind, what: str, vessel: int | None = None) -> None:
        """Note down a mishap that has really been carried out."""
        expected = EXPECTED[kind]
        name = lot.plan.recipe.name
        self.planted.append(Planted(lot.id, name, expected.rule, expected.phase, vessel, what))
        self.say(f"! {what}")

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
