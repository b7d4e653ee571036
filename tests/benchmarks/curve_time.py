"""How long the curve of a long lot takes over HTTP, with little and with much history.

    python tests/benchmarks/curve_time.py

An 8 h lot with 4 channels at 2 Hz, reduced to 2,000 points. Two services answer in turn: the
store of one holds that lot only, that of the other 29 more like it from the days before, in the
same channels. Times are from sending the request to the last byte of the answer.
"""

import asyncio
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from itertools import chain, product
from pathlib import Path

from figures import Figure, judge
from served_workshop import Instrument, Served, serving, write_config

from collector.events import LotClosed, LotOpened
from collector.readings import Channel, Reading, Role
from collector.recipe_file import read_recipe_document
from collector.store import Store

BENCH = "long"
ROLES = (Role.SCALE, Role.PITCHER, Role.POT, Role.ROOM)
LASTS_S = 8 * 3600
PER_S = 2
DAYS = 30
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


def readings(channel: Channel, began_us: int) -> list[Reading]:
    """Return a channel's readings over one lot: a slow fall with a saw and a tremble on it."""
    step_us = 1_000_000 // PER_S
    offset_us = 1 + CHANNELS.index(channel)
    return [
        Reading(
            channel.name,
            began_us + n * step_us + offset_us,
            90_000 - n // 2 + 62 * (n * 7919 % 5) + 200 * (n % 97),
        )
        for n in range(LASTS_S * PER_S)
    ]


async def fill_store(folder: Path, days: int) -> None:
    """Make a store with a lot of today and of each of the days before."""
    store, recipe = Store.open(folder), read_recipe_document("the trial's recipe", RECIPE)
    for day in reversed(range(days)):
        at_us, lot = TODAY_US - day * DAY_US, lot_id(day)
        opened = LotOpened(
            at_us=at_us, bench=BENCH, lot=lot, recipe=recipe, vessels=6, channels=CHANNELS
        )
        closed = LotClosed(at_us=at_us + LASTS_S * 1_000_000 + 9, bench=BENCH, lot=lot)
        await store.commit([], [opened, closed])
        for batch in batches(at_us):
            await store.commit(batch, [])
    store.close()


def batches(began_us: int) -> Iterator[list[Reading]]:
    """Give a lot's readings with the channels mixed as they come in: that shapes the file."""
    mixed = list(chain.from_iterable(zip(*(readings(c, began_us) for c in CHANNELS), strict=True)))
    for start in range(0, len(mixed), BATCH):
        yield mixed[start : start + BATCH]


def prepared(folder: Path, days: int) -> Path:
    """Make a workshop with so much history; return its config."""
    folder.mkdir()
    asyncio.run(fill_store(folder / "data", days))
    instruments: Sequence[Instrument] = [
        {"name": c.name, "bench": BENCH, "role": c.role.value, "kind": "manual"} for c in CHANNELS
    ]
    return write_config(folder, instruments)


def curve_ms(served: Served, channel: Channel) -> float:
    """Ask for one curve; return how many milliseconds it took."""
    path = f"/api/lots/{lot_id(0)}/curve"
    began_s = time.perf_counter()
    answer = served.http.get(path, params={"channel": channel.name, "points": POINTS})
    spent_ms = (time.perf_counter() - began_s) * 1000
    assert answer.status_code == 200, answer.text
    assert POINTS / 2 < len(answer.json()["t"]) <= POINTS
    return spent_ms


def measure() -> list[Figure]:
    """Return the median time of a curve with one lot and with thirty in the store."""
    with tempfile.TemporaryDirectory() as name:
        short, long = (prepared(Path(name) / f"days-{days}", days) for days in (1, DAYS))
        with serving(short) as one, serving(long) as many:
            curve_ms(one, CHANNELS[0])  # the first request also imports and connects
            curve_ms(many, CHANNELS[0])
            asked = [
                (curve_ms(one, channel), curve_ms(many, channel))
                for _, channel in product(range(ROUNDS), CHANNELS)
            ]
    first, last = (statistics.median(column) for column in zip(*asked, strict=True))
    what = "curve of an 8 h lot"
    return [
        Figure(f"{what}, 1 lot in the store", first, MUST_MS, "ms", at_most=1.0),
        Figure(f"{what}, {DAYS} lots in the store", last, MUST_MS, "ms", at_most=1.0),
        Figure(f"{what}, {DAYS} lots against 1", last, first, "ms", at_most=NO_SLOWER),
    ]


if __name__ == "__main__":
    sys.exit(judge(measure))
