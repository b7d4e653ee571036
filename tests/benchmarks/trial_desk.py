"""The service as the simulated maker meets it in a trial: a bench, fed in process.

The desk plays the page: it keeps recipes, opens and closes the lot, and hands every reading to
the bench with a time of its own.
"""

from collections.abc import Sequence

from collector.batch_sheet import batch_sheet
from collector.bench import Bench, Input
from collector.display import Display
from collector.events import AnyDerived
from collector.lot_events import LotClosed, LotOpened, PhaseMarked
from collector.phases import Edge, phase_named
from collector.readings import Channel, Reading, Sample
from collector.recipe_file import read_recipe_document
from collector.recipes import Recipe
from simulators.bench_model import BenchModel
from simulators.layout import BENCH
from simulators.recipe_card import Document
from simulators.service import PitcherShare

START_US = 1_795_600_000_000_000  # 2026-11-25T09:46:40Z
LOT = "1"


class Desk:
    """Takes the maker's calls and the wires' samples; `events` is what the bench concluded."""

    def __init__(self, model: BenchModel, channels: Sequence[Channel]) -> None:
        self.bench = Bench(BENCH, channels, Display(), START_US)
        self.events: list[AnyDerived] = []
        self.readings = 0
        self._model = model
        self._channels = tuple(channels)
        self._recipes: dict[str, Recipe] = {}
        self._opened: LotOpened | None = None

    def read(self, channel: str, sample: Sample, late_us: int) -> None:
        """Take one sample, which came a moment after it was made."""
        self.readings += 1
        self._feed(Reading(channel, self._now_us(late_us), sample.value, sample.quality))

    # ------------------------------------------------------------ the maker's calls

    def keep_recipe(self, document: Document) -> None:
        """Hand over a recipe."""
        recipe = read_recipe_document("the trial", document)
        self._recipes[recipe.name] = recipe

    def open_lot(self, recipe: str, vessels: int, bench: str) -> str:
        """Open the trial's lot."""
        self._opened = LotOpened(
            at_us=self._now_us(),
            bench=bench,
            lot=LOT,
            recipe=self._recipes[recipe],
            vessels=vessels,
            channels=self._channels,
        )
        self._feed(self._opened)
        return LOT

    def pitchers(self, lot: str) -> list[PitcherShare]:
        """Return the pitchers of the lot's batch sheet, in order."""
        assert self._opened is not None
        assert lot == LOT
        sheet = batch_sheet(self._opened.recipe, self._opened.vessels)
        return [PitcherShare(p.number, p.vessels, p.wax_mg / 1000) for p in sheet.pitchers]

    def mark(self, lot: str, phase: str, edge: str) -> None:
        """Say that a phase begins or ends."""
        meant = phase_named(phase)
        assert meant is not None
        at_us = self._now_us()
        self._feed(PhaseMarked(at_us=at_us, bench=BENCH, lot=lot, phase=meant, edge=Edge(edge)))

    def close_lot(self, lot: str) -> None:
        """Say that the bench is done with the lot."""
        self._feed(LotClosed(at_us=self._now_us(), bench=BENCH, lot=lot))

    def _feed(self, item: Input) -> None:
        self.events += self.bench.feed(item)

    def _now_us(self, late_us: int = 0) -> int:
        """Return a time that no other input has."""
        return max(START_US + round(self._model.time_s * 1e6) + late_us, self.bench.now_us + 1)


def seconds(at_us: int) -> float:
    """Return a time of the bench as seconds since the trial's morning."""
    return (at_us - START_US) / 1e6
