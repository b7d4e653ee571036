"""Lots made by the simulated maker without wires, as fast as the machine goes.

The same scenario and seed give the same readings and marks each time: the scale five times a
second and three thermometers once, as in the demonstration.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from collector.batch_sheet import batch_sheet
from collector.bench import Bench
from collector.display import Display
from collector.events import AnyEvent, AnyGiven
from collector.lot_events import LotClosed, LotOpened, PhaseMarked
from collector.phases import Edge, phase_named
from collector.readings import Channel, Quality, Reading, Role
from collector.recipe_file import read_recipe_document
from collector.recipes import Recipe
from simulators.bench_model import BenchModel
from simulators.day import bench_model
from simulators.hands import Hands
from simulators.layout import BENCH, DEVICES, SCALE
from simulators.maker import Maker
from simulators.noise import seeded
from simulators.physics.probe import STEPS_PER_K
from simulators.recipe_card import Document
from simulators.scenario import load_scenario
from simulators.service import PitcherShare
from simulators.shift import Shift

MORNING_US = 1_795_600_000_000_000  # 2026-11-25T09:46:40Z
SEED = 7
STEP_US = 200_000  # as often as the scale speaks
PROBES_EVERY_US = 1_000_000
SILENT_AFTER_US = 10_000_000

CHANNELS = (
    Channel(SCALE, BENCH, Role.SCALE, SILENT_AFTER_US),
    *(
        Channel(name, BENCH, Role(name.removeprefix(f"{BENCH}-")), SILENT_AFTER_US)
        for name in DEVICES
    ),
)

Item = Reading | AnyGiven


class Notebook:
    """Stands in for the service: notes down what the maker asks, in order with the readings."""

    def __init__(self) -> None:
        self.items: list[Item] = []
        self.now_us = MORNING_US
        self._last_us = MORNING_US
        self._recipes: dict[str, Recipe] = {}
        self._opened: list[LotOpened] = []

    def next_us(self) -> int:
        """Return a time that no other input has: now, as the pipeline would part them."""
        self._last_us = max(self.now_us, self._last_us + 1)
        return self._last_us

    def keep_recipe(self, document: Document) -> None:
        """Hand over a recipe."""
        recipe = read_recipe_document("the scenario", document)
        self._recipes[recipe.name] = recipe

    def open_lot(self, recipe: str, vessels: int, bench: str) -> str:
        """Open a lot and return its id."""
        opened = LotOpened(
            at_us=self.next_us(),
            bench=bench,
            lot=f"2026-11-25-{len(self._opened) + 1}",
            recipe=self._recipes[recipe],
            vessels=vessels,
            channels=CHANNELS,
        )
        self._opened.append(opened)
        self.items.append(opened)
        return str(opened.lot)

    def pitchers(self, lot: str) -> list[PitcherShare]:
        """Return the pitchers of the lot's batch sheet, in order."""
        opened = next(opened for opened in self._opened if opened.lot == lot)
        return [
            PitcherShare(pitcher.number, pitcher.vessels, pitcher.wax_mg / 1000)
            for pitcher in batch_sheet(opened.recipe, opened.vessels).pitchers
        ]

    def mark(self, lot: str, phase: str, edge: str) -> None:
        """Say that a phase begins or ends."""
        meant = phase_named(phase)
        assert meant is not None
        at_us = self.next_us()
        self.items.append(
            PhaseMarked(at_us=at_us, bench=BENCH, lot=lot, phase=meant, edge=Edge(edge))
        )

    def close_lot(self, lot: str) -> None:
        """Say that the bench is done with the lot."""
        self.items.append(LotClosed(at_us=self.next_us(), bench=BENCH, lot=lot))

    def listen(self, model: BenchModel, at_us: int) -> None:
        """Take the readings that are due."""
        self.now_us = at_us
        if SCALE not in model.unplugged:
            shown = model.pan.show()
            quality = Quality.GOOD if shown.stable else Quality.IN_MOTION
            self._read(SCALE, round(shown.grams * 1000), quality)
        if (at_us - MORNING_US) % PROBES_EVERY_US:
            return
        for name, probe in model.probes.items():
            if name not in model.unplugged:
                self._read(name, probe.reading() * 1000 // STEPS_PER_K, Quality.GOOD)

    def _read(self, channel: str, value: int, quality: Quality) -> None:
        self.items.append(Reading(channel, self.next_us(), value, quality))


def made_day(scenario: str, lots: int) -> list[Item]:
    """Return the readings and marks of the scenario's first lots, in order of time."""
    planned = load_scenario(scenario)
    planned = replace(planned, lots=planned.lots[:lots])
    model, notebook = bench_model(planned, SEED), Notebook()
    shift = Shift(
        bench=model,
        hands=Hands(model, seeded(SEED + 1)),
        service=notebook,
        pitcher=planned.pitcher,
        say=lambda _: None,
    )
    for step, _ in enumerate(Maker(planned, shift).day(), 1):
        model.update(STEP_US / 1e6)
        notebook.listen(model, MORNING_US + step * STEP_US)
    return notebook.items


def judged(items: Sequence[Item]) -> tuple[list[Reading], list[AnyEvent]]:
    """Return the readings, and the journal as a bench makes it of them."""
    bench = Bench(BENCH, CHANNELS, Display(), MORNING_US)
    return [item for item in items if isinstance(item, Reading)], list(_journal(bench, items))


def _journal(bench: Bench, items: Sequence[Item]) -> Iterator[AnyEvent]:
    for item in items:
        derived = bench.feed(item)
        if not isinstance(item, Reading):
            yield item
        yield from derived
