"""The simulated maker among other people: somebody else's hand in her day does not end it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from simulators.day import bench_model
from simulators.hands import Hands
from simulators.maker import Maker
from simulators.noise import seeded
from simulators.pace import Pace
from simulators.scenario import load_scenario
from simulators.service import ConflictError, LotGoneError, PitcherShare
from simulators.shift import Shift

SHORT = load_scenario("short")
TWO_LOTS = replace(SHORT, lots=SHORT.lots * 2)
LONGEST_S = 7200.0


@dataclass
class Page:
    """The page with somebody else at it.

    Her lot is on the bench for the next `busy` tries; she closes the lot `closes` in mid-stir.
    """

    busy: int = 0
    closes: str | None = None
    said: list[str] = field(default_factory=list)
    opened: int = 0
    finished: list[str] = field(default_factory=list)

    def keep_recipe(self, document: Mapping[str, object]) -> None:
        assert document["name"]

    def open_lot(self, recipe: str, vessels: int, bench: str) -> str:
        assert (recipe, vessels > 0, bench) == (SHORT.lots[0].recipe.name, True, "quay")
        if self.busy:
            self.busy -= 1
            raise ConflictError("Lot 9 is open at bench quay.")
        self.opened += 1
        return f"day-{self.opened}"

    def pitchers(self, lot: str) -> list[PitcherShare]:
        assert lot
        return [PitcherShare(1, 2, 233.3)]

    def mark(self, lot: str, phase: str, edge: str) -> None:
        if (phase, edge, lot) == ("stir", "begin", self.closes):
            raise LotGoneError(f"lot {lot} is closed")

    def close_lot(self, lot: str) -> None:
        self.finished.append(lot)


def spend_day(page: Page) -> Shift:
    model = bench_model(SHORT, 7)
    shift = Shift(model, Hands(model, seeded(8)), page, SHORT.pitcher, say=page.said.append)
    step_s = Pace(1.0).step_s
    for _ in Maker(TWO_LOTS, shift).day():
        model.update(step_s)
        assert model.time_s < LONGEST_S
    return shift


def test_a_lot_that_somebody_closed_is_let_go_and_the_day_goes_on() -> None:
    page = Page(closes="day-1")
    shift = spend_day(page)
    assert "lets go of lot day-1: somebody closed it" in page.said
    assert page.finished == ["day-2"]
    assert shift.bench.load_g == 0
    assert shift.troubles == []


def test_a_bench_with_somebody_elses_lot_is_waited_for_and_that_is_said_once() -> None:
    page = Page(busy=3)
    spend_day(page)
    waits = [line for line in page.said if line.startswith("waits until the bench is free")]
    assert waits == ["waits until the bench is free: Lot 9 is open at bench quay."]
    assert page.finished == ["day-1", "day-2"]
