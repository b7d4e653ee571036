"""How long the curve of a long lot takes over HTTP, with little and with much history.

    python tests/benchmarks/curve_time.py

An 8 h lot with 4 channels at 2 Hz, reduced to 2,000 points. Three services answer in turn: one
holds that lot only, as the rows of today; one holds it sealed; and one holds it sealed with 99
more like it from the days before, in the same channels. Times are from sending the request to
the last byte of the answer.
"""

import asyncio
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from itertools import chain, product
from pathlib import Path

import numpy as np
from bulk import fill_days
from figures import Figure, judge
from made_readings import PER_S, span
from served_workshop import Instrument, Served, serving, write_config

from collector.events import AnyEvent
from collector.lot_events import LotClosed, LotOpened
from collector.readings import Channel, Reading, Role
from collector.recipe_file import read_recipe_document
from collector.store import Store

BENCH = "long"
ROLES = (Role.SCALE, Role.PITCHER, Role.POT, Role.ROOM)
LASTS_S = 8 * 3600
DAYS = 100
DAY_US = 86_400_000_000
TODAY_US = 1_795_600_000_000_000  # 2026-11-25T09:46:40Z
BATCH = 4800  # ten minutes: a commit each half second would take hours
POINTS = 2000
ROUNDS = 15
MUST_MS = 30.0
"""The design's budget for one curve."""

NO_SLOWER = 1.2
"""More history must not slow a curve; two medians of one thing differ by less than this."""

RECIPE = {
    "name": "Long wait, 200 g",
    "vessel": {"fill": "200 g", "tolerance": "2 g"},
    "wax": {"name": "soy flake"},
    "fragrance": {"name": "long wait", "load": "8 %", "load_of": "wax"},
}

CHANNELS = tuple(Channel(f"{BENCH}-{role}", BENCH, role, None) for role in ROLES)


def lot_id(day: int) -> str:
    """Return the id of the lot made so many days ago."""
    return f"trial-{day}"


def mornings_us(days: int) -> list[int]:
    """Return when the lots began, the oldest first."""
    return [TODAY_US - day * DAY_US for day in reversed(range(days))]


def lots(days: int) -> Iterator[AnyEvent]:
    """Give the journal: a lot of today and of each of the days before."""
    recipe = read_recipe_document("the trial's recipe", RECIPE)
    for day, at_us in zip(reversed(range(days)), mornings_us(days), strict=True):
        lot = lot_id(day)
        yield LotOpened(
            at_us=at_us, bench=BENCH, lot=lot, recipe=recipe, vessels=6, channels=CHANNELS
        )
        yield LotClosed(at_us=at_us + LASTS_S * 1_000_000 + 9, bench=BENCH, lot=lot)


async def fill_store(folder: Path, batches: Sequence[Sequence[Reading]], days: int) -> None:
    """Commit lots and rows."""
    store = Store.open(folder)
    await store.commit([], list(lots(days)))
    for batch in batches:
        await store.commit(batch, [])
    store.close()


def rows(began_us: int = TODAY_US) -> list[list[Reading]]:
    """Return a lot's readings with the channels mixed as they come in: that shapes the file."""
    rng = np.random.default_rng(5)
    made = []
    for channel in CHANNELS:
        times, values, _ = span(channel.role, began_us, LASTS_S, rng)
        pairs = zip(times.tolist(), values.tolist(), strict=True)
        made.append([Reading(channel.name, *pair) for pair in pairs])
    mixed = list(chain.from_iterable(zip(*made, strict=True)))
    return [mixed[start : start + BATCH] for start in range(0, len(mixed), BATCH)]


def workshop(folder: Path) -> Path:
    """Write the config of a workshop; return it."""
    instruments: Sequence[Instrument] = [
        {"name": c.name, "bench": BENCH, "role": c.role.value, "kind": "manual"} for c in CHANNELS
    ]
    return write_config(folder, instruments)


def with_rows(folder: Path) -> Path:
    """Make a workshop whose readings are all rows; return its config."""
    folder.mkdir()
    asyncio.run(fill_store(folder / "data", rows(), 1))
    return workshop(folder)


def with_blocks(folder: Path, days: int) -> Path:
    """Make a workshop with so many sealed lots; return its config."""
    folder.mkdir()
    asyncio.run(fill_store(folder / "data", [], days))
    made = fill_days(folder / "data", CHANNELS, mornings_us(days), LASTS_S)
    assert made == days * len(CHANNELS) * LASTS_S * PER_S
    return workshop(folder)


def curve_ms(served: Served, channel: Channel) -> float:
    """Ask for one curve; return how many milliseconds it took."""
    path = f"/api/lots/{lot_id(0)}/curve"
    began_s = time.perf_counter()
    answer = served.http.get(path, params={"channel": channel.name, "points": POINTS})
    spent_ms = (time.perf_counter() - began_s) * 1000
    assert answer.status_code == 200, answer.text
    assert POINTS / 2 < len(answer.json()["t"]) <= POINTS
    return spent_ms


def medians(configs: Sequence[Path]) -> list[float]:
    """Ask services on each of the configs in turn; return the median of each."""
    with ExitStack() as services:
        served = [services.enter_context(serving(config)) for config in configs]
        for one in served:
            curve_ms(one, CHANNELS[0])  # the first request also imports and connects
        asked = [
            [curve_ms(one, channel) for one in served]
            for _, channel in product(range(ROUNDS), CHANNELS)
        ]
    return [statistics.median(column) for column in zip(*asked, strict=True)]


def measure() -> list[Figure]:
    """Return the median time of a curve as rows, sealed, and with a hundred lots in the store."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        configs = [
            with_rows(folder / "rows"),
            with_blocks(folder / "one", 1),
            with_blocks(folder / "many", DAYS),
        ]
        plain, one, many = medians(configs)
    what = "curve of an 8 h lot"
    return [
        Figure(f"{what}, rows", plain, MUST_MS, "ms", at_most=1.0),
        Figure(f"{what}, sealed, 1 lot in the store", one, MUST_MS, "ms", at_most=1.0),
        Figure(f"{what}, sealed, {DAYS} lots", many, MUST_MS, "ms", at_most=1.0),
        Figure(f"{what}, {DAYS} lots against 1", many, one, "ms", at_most=NO_SLOWER),
    ]


if __name__ == "__main__":
    sys.exit(judge(measure))
