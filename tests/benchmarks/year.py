"""A year of pour days in one store: how large it is, how soon it opens, how fast it answers.

    python tests/benchmarks/year.py

Eight channels at 2 Hz for eight hours on each of 250 days, sealed as the service seals them: 115
million readings; and a journal of six lots a day, each as a bench made it of a simulated pour.
Making it takes some minutes.
"""

import asyncio
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from bulk import fill_days
from figures import Figure, judge
from made_lots import CHANNELS, MORNING_US, judged, made_day
from many_lots import DAY_US, days_later
from served_workshop import Instrument, Served, serving, write_config

from collector.events import AnyEvent
from collector.readings import Channel, Role
from collector.store import Store
from simulators.layout import BENCH

DAYS = 250
LASTS_S = 8 * 3600
OTHER_BENCH = "attic"
OTHERS = tuple(Channel(f"{OTHER_BENCH}-{role}", OTHER_BENCH, role, None) for role in Role)
ROUNDS = 9
SCENARIOS = {"lantern_yard": 4, "clean": 2}
"""The lots of a day, and the scenarios that they are taken from."""

MUST_BYTES = 1.5
MUST_START_S = 2.0
MUST_CURVE_MS = 30.0
"""The design's budgets for a sealed reading, for the start to the first stored reading (of which
this is a part), and for one curve."""

SLOWER = 1.5
"""How much longer the start may take with a year in the store than with nothing."""

SHOWN_S = 1.0
"""No budget of the design: about how long a person waits for a page without wondering."""

Lot = list[AnyEvent]


def day_of_lots() -> list[Lot]:
    """Return the journals of the lots of one day, each with an id of its own."""
    lots = []
    for number, (scenario, count) in enumerate(SCENARIOS.items()):
        _, journal = judged(made_day(scenario, count))
        ids = dict.fromkeys(event.lot for event in journal if event.lot)
        for lot in ids:
            events = [event for event in journal if event.lot == lot]
            lots.append(days_later(([], events), number * DAYS)[1])
    return lots


def year(lots: list[Lot]) -> Iterator[Lot]:
    """Give the journal of each day."""
    for day in range(DAYS):
        yield [event for lot in lots for event in days_later(([], lot), day)[1]]


async def keep_journal(folder: Path) -> int:
    """Commit the journal; return how many lots it tells of."""
    store, lots = Store.open(folder), day_of_lots()
    for events in year(lots):
        await store.commit([], events)
    store.close()
    return DAYS * len(lots)


def made(folder: Path, *, empty: bool = False) -> Path:
    """Make a workshop, with its year unless it shall be empty; return its config."""
    folder.mkdir()
    instruments: list[Instrument] = [
        {"name": c.name, "bench": c.bench, "role": c.role.value, "kind": "manual"}
        for c in (*CHANNELS, *OTHERS)
    ]
    if not empty:
        asyncio.run(keep_journal(folder / "data"))
        mornings_us = (MORNING_US + day * DAY_US for day in range(DAYS))
        fill_days(folder / "data", (*CHANNELS, *OTHERS), mornings_us, LASTS_S)
    return write_config(folder, instruments)


def start_s(config: Path) -> float:
    """Return how long a service takes from its start until it answers."""
    began_s = time.perf_counter()
    with serving(config):
        return time.perf_counter() - began_s


def median_s(served: Served, path: str, **wanted: str | int) -> float:
    """Ask several times; return the median time of the answers after the first."""
    spent = []
    for _ in range(ROUNDS + 1):
        began_s = time.perf_counter()
        answer = served.http.get(path, params=wanted)
        spent.append(time.perf_counter() - began_s)
        assert answer.status_code == 200, answer.text
    return statistics.median(spent[1:])


def measure() -> list[Figure]:
    """Return the year's size, the time of the start, of a curve and of the list of lots."""
    with tempfile.TemporaryDirectory() as name:
        full, empty = made(Path(name) / "full"), made(Path(name) / "empty", empty=True)
        readings = DAYS * LASTS_S * 2 * len((*CHANNELS, *OTHERS))
        size = (full.parent / "data" / "pourkeep.db").stat().st_size
        began_s, fresh_s = start_s(full), start_s(empty)
        with serving(full) as served:
            lots = served.http.get("/api/lots").json()
            middle = lots[len(lots) // 2]
            curve = f"/api/lots/{middle['id']}/curve"
            curve_s = median_s(served, curve, channel=f"{BENCH}-pitcher", points=2000)
            lots_s = median_s(served, "/api/lots")
    what = f"a year of {readings / 1e6:.0f} million readings"
    return [
        Figure(f"{what}, journal included", size / readings, MUST_BYTES, "bytes", at_most=1.0),
        Figure(f"{what}, the file", size / 1e6, readings * 22 / 1e6, "MB"),
        Figure("start on it", began_s, MUST_START_S, "s", at_most=1.0),
        Figure("start on it against an empty store", began_s, fresh_s, "s", at_most=SLOWER),
        Figure(
            "curve of a lot in the middle of it", curve_s * 1000, MUST_CURVE_MS, "ms", at_most=1.0
        ),
        Figure(f"list of {len(lots):,} lots", lots_s, SHOWN_S, "s"),
    ]


if __name__ == "__main__":
    sys.exit(judge(measure))
