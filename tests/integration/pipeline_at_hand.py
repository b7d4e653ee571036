"""A pipeline with its store, its clock and its benches in the hands of a test."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from stubborn_store import StubbornStore
from workshop_at_hand import (
    BENCH,
    MORNING_US,
    RECIPE,
    SCALE,
    HandClock,
    config,
)

from collector.alarm_ledger import AlarmLedger
from collector.bench import Bench
from collector.config import Config
from collector.events import AnyEvent, AnyGiven
from collector.live import Notice
from collector.lot_events import LotOpened, PhaseMarked
from collector.phases import Edge, Phase
from collector.pipeline import Pipeline, channels_at
from collector.readers.link import Sampled
from collector.readings import Quantity, Sample
from collector.recipe_file import read_recipe_document
from collector.store.history import History
from collector.store.verify import verify

LOT = "2026-11-25-1"
EVER = 2**62


class Harness:
    """A pipeline with its store, its clock and a screen that keeps all it is told."""

    def __init__(self, settings: Config, benches: list[Bench] | None = None) -> None:
        self.clock = HandClock()
        self.store = StubbornStore.open(settings.data)
        assert isinstance(self.store, StubbornStore)
        self.gate: StubbornStore = self.store
        self.history = History(settings.data)
        made = benches or [
            Bench(name, channels_at(settings, name), settings.display, MORNING_US)
            for name in settings.benches
        ]
        self.pipeline = Pipeline(settings, self.store, self.clock, made, AlarmLedger())

    async def open_lot(self, lot: str = LOT, bench: str = BENCH) -> None:
        await self.pipeline.give(bench, lambda at_us: self.opening(lot, bench, at_us))

    def opening(self, lot: str, bench: str, at_us: int) -> LotOpened:
        return LotOpened(
            at_us=at_us,
            bench=bench,
            lot=lot,
            recipe=read_recipe_document("recipe", RECIPE),
            vessels=2,
            channels=channels_at(self.pipeline.config, bench),
        )

    async def mark(self, phase: Phase = Phase.STIR, edge: Edge = Edge.BEGIN) -> AnyGiven:
        self.clock.pass_s(1)
        return await self.pipeline.give(
            BENCH,
            lambda at_us: PhaseMarked(at_us=at_us, bench=BENCH, lot=LOT, phase=phase, edge=edge),
        )

    def weigh(self, mass_mg: int, after_s: float = 0.2) -> int:
        """Let the scale say something a moment later, and return when."""
        taken_us = self.clock.pass_s(after_s)
        sample = Sample(Quantity.MASS, mass_mg)
        self.pipeline.inbox.put(Sampled(SCALE, taken_us, sample))
        return taken_us

    def stored(self) -> list[AnyEvent]:
        """Return all events that are on disk."""
        return [stored.event for stored in self.history.events_after(0, 10_000)]

    def stored_values(self) -> list[int]:
        """Return the values of the scale that are on disk."""
        return list(self.history.readings(SCALE, 0, EVER).values.tolist())


@asynccontextmanager
async def harness(folder: Path) -> AsyncIterator[Harness]:
    """Run a pipeline; at the end all of it must be on disk, and sound."""
    made = Harness(config(folder))
    running = asyncio.create_task(made.pipeline.run())
    try:
        yield made
    finally:
        running.cancel()
        await asyncio.gather(running, return_exceptions=True)
        made.store.close()
    assert verify(folder) == []


async def first_quiet(notices: AsyncIterator[Notice | None]) -> AsyncIterator[Notice]:
    """Give notices until there is none for a while."""
    async for notice in notices:
        if notice is None:
            return
        yield notice
