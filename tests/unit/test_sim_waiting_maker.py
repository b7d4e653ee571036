"""The simulated maker who opens nothing herself and pours what somebody opens on the page."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import pytest

from simulators.day import bench_model
from simulators.hands import Hands
from simulators.maker import Maker
from simulators.noise import seeded
from simulators.pace import Pace
from simulators.scenario import load_scenario
from simulators.service import OpenedLot, PitcherShare, ServiceError
from simulators.shift import Shift
from simulators.waiting_maker import WaitingMaker

SHORT = load_scenario("short")
DOCUMENT = SHORT.recipes[0].document
LONGEST_S = 3600.0


@dataclass
class Page:
    """What somebody has open on the page, and what the maker does about it."""

    lot: OpenedLot | None
    refuses: bool = False
    done: list[str] = field(default_factory=list)

    def opened(self) -> OpenedLot | None:
        return self.lot

    def keep_recipe(self, document: Mapping[str, object]) -> None:
        raise AssertionError(f"she has no recipes of her own, and kept {document}")

    def open_lot(self, recipe: str, vessels: int, bench: str) -> str:
        raise AssertionError(f"she opens nothing, and opened {vessels} x {recipe} at {bench}")

    def pitchers(self, lot: str) -> list[PitcherShare]:
        if self.refuses:
            raise ServiceError(f"lot {lot} is gone")
        return [PitcherShare(1, 2, 233.3)]

    def mark(self, lot: str, phase: str, edge: str) -> None:
        self.done.append(f"{phase} {edge} in {lot}")

    def close_lot(self, lot: str) -> None:
        self.done.append(f"closed {lot}")
        self.lot = None


def shift_on(page: Page) -> Shift:
    model = bench_model(SHORT, 7)
    hands = Hands(model, seeded(8))
    return Shift(model, hands, page, SHORT.pitcher, say=page.done.append)


def watch(page: Page, shift: Shift, seconds: float) -> None:
    """Let simulated time pass, at most until the lot is closed."""
    day = WaitingMaker(Maker(SHORT, shift), shift, page.opened).day()
    step_s = Pace(1.0).step_s
    while shift.bench.time_s < seconds:
        next(day)
        shift.bench.update(step_s)
        if page.done and page.done[-1].startswith("closes lot"):
            return


def test_a_lot_that_somebody_opened_is_poured_and_closed() -> None:
    page = Page(OpenedLot("day-1", DOCUMENT, 2))
    watch(page, shift_on(page), LONGEST_S)
    assert "sees lot day-1: 2 x Tiny tide, 120 g" in page.done
    assert {"stir begin in day-1", "stir end in day-1", "closed day-1"} <= set(page.done)


def test_without_a_lot_nothing_stands_on_the_bench() -> None:
    page = Page(None)
    shift = shift_on(page)
    watch(page, shift, 60)
    assert page.done == []
    assert shift.bench.load_g == 0


@pytest.mark.parametrize("missing", ["stir", "pour"])
def test_a_recipe_that_she_cannot_pour_is_left_alone(missing: str) -> None:
    document = {key: value for key, value in DOCUMENT.items() if key != missing}
    page = Page(OpenedLot("day-1", document, 2))
    shift = shift_on(page)
    watch(page, shift, 60)
    assert "does not know how to pour lot day-1" in page.done[0]
    assert shift.bench.load_g == 0


def test_a_lot_that_goes_wrong_is_given_up_and_the_bench_cleared() -> None:
    page = Page(OpenedLot("day-1", DOCUMENT, 2), refuses=True)
    shift = shift_on(page)
    watch(page, shift, 60)
    assert page.done[-1] == "gives up lot day-1: lot day-1 is gone"
    assert shift.bench.pitcher is None
