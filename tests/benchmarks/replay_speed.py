"""How fast a stored lot is judged again, against real time.

    python tests/benchmarks/replay_speed.py            # the figure
    python tests/benchmarks/replay_speed.py --profile  # and where the time goes

The lot is made by the simulated maker: a scale at 5 Hz and three thermometers at 1 Hz, with
marks. It is stored, read back and replayed; what the replay derives must be what is stored.
Seconds are of processor time, that of worker processes and of their start included: others may
use the machine.
"""

import asyncio
import cProfile
import os
import pstats
import statistics
import sys
import tempfile
import time
from pathlib import Path

from figures import Figure, judge
from made_lots import CHANNELS, judged, made_day
from many_lots import Made, days_later, store_lots

from api.judging import judge_again, judge_many
from api.lot_reading import entries
from collector.lot_events import LotOpened
from collector.replay import derived_of, replay
from collector.store import History, Store

SCENARIO = "lantern_yard"
LOT = "2026-11-25-1"
ROUNDS = 5
MANY = 40
YEAR = 250
MUST = 5000.0
"""The design's budget: times real time."""
LIST_MUST_S = 0.5


async def store_lot(folder: Path) -> None:
    """Store the scenario's first lot as the service would have."""
    readings, journal = judged(made_day(SCENARIO, lots=1))
    store = Store.open(folder)
    await store.commit(readings, journal)
    store.close()


def lot_span_us(history: History) -> tuple[int, int]:
    """Return when the lot was opened and closed."""
    lot = history.lot(LOT)
    assert lot.closed_us is not None
    return lot.opened_us, lot.closed_us


def replay_stored(history: History) -> float:
    """Replay the lot from the store; return the processor seconds it took."""
    started = time.process_time()
    events = [stored.event for stored in history.events(LOT)]
    readings = history.bench_readings([c.name for c in CHANNELS], *lot_span_us(history))
    _bench, derived = replay(events, readings)
    spent = time.process_time() - started
    assert isinstance(events[0], LotOpened)
    assert derived
    assert derived == derived_of(events), "the replay does not give what is stored"
    return spent


def replay_in_memory(history: History) -> float:
    """Replay the lot with its readings at hand; return the processor seconds it took."""
    events = [stored.event for stored in history.events(LOT)]
    names = [c.name for c in CHANNELS]
    readings = list(history.bench_readings(names, *lot_span_us(history)))
    started = time.process_time()
    replay(events, readings)
    return time.process_time() - started


def replay_as_command(folder: Path) -> float:
    """Judge the lot again as `pourkeep replay` does; return the processor seconds it took."""
    started = time.process_time()
    judged_again = judge_again(folder, None, LOT)
    spent = time.process_time() - started
    assert judged_again.difference is None, "the replay does not give what is stored"
    return spent


def all_processes_s() -> float:
    """Return the processor seconds of this process and of those it waited for."""
    spent = os.times()
    return spent.user + spent.system + spent.children_user + spent.children_system


def replay_many(folder: Path, made: Made) -> float:
    """Judge many lots as `pourkeep replay --all` does; return how many times real time."""
    store_lots(folder, (days_later(made, day) for day in range(MANY)))
    lots = [lot.id for lot in History(folder).lots()]
    started = all_processes_s()
    every = list(judge_many(folder, None, lots))
    spent = all_processes_s() - started
    assert len(every) == MANY
    assert all(one.difference is None for one in every), "a replay does not give what is stored"
    return sum(one.lasted_us for one in every) / 1e6 / spent


def list_year(folder: Path, made: Made) -> float:
    """List a year of lots as the page and `pourkeep lots` do; return the seconds it took."""
    store_lots(folder, (([], days_later(made, day)[1]) for day in range(YEAR)))
    history = History(folder)
    started = time.process_time()
    assert len(entries(history)) == YEAR
    return time.process_time() - started


def measure_many() -> list[Figure]:
    """Return the pace of many lots, and how long it takes to list a year of them."""
    made = judged(made_day(SCENARIO, lots=1))
    with tempfile.TemporaryDirectory() as many, tempfile.TemporaryDirectory() as year:
        pace = replay_many(Path(many), made)
        listed_s = list_year(Path(year), made)
    return [
        Figure(f"pourkeep replay --all of {MANY} lots", pace, MUST, "x real", at_least=1.0),
        Figure(f"a list of {YEAR} lots", listed_s, LIST_MUST_S, "s", at_most=1.0),
    ]


def measure() -> list[Figure]:
    """Return how many times real time a stored lot is replayed."""
    with tempfile.TemporaryDirectory() as name:
        asyncio.run(store_lot(Path(name)))
        history = History(Path(name))
        opened_us, closed_us = lot_span_us(history)
        lasted_s = (closed_us - opened_us) / 1e6
        stored = statistics.median(replay_stored(history) for _ in range(ROUNDS))
        at_hand = statistics.median(replay_in_memory(history) for _ in range(ROUNDS))
        command = statistics.median(replay_as_command(Path(name)) for _ in range(ROUNDS))
    what = f"replay of a lot of {lasted_s / 60:.0f} min"
    return [
        Figure(f"{what}, from the store", lasted_s / stored, MUST, "x real", at_least=1.0),
        Figure(f"{what}, readings at hand", lasted_s / at_hand, MUST, "x real"),
        Figure(f"{what}, by command", lasted_s / command, MUST, "x real", at_least=1.0),
        *measure_many(),
    ]


def profile() -> None:
    """Print where the time of one replay goes."""
    with tempfile.TemporaryDirectory() as name:
        asyncio.run(store_lot(Path(name)))
        history = History(Path(name))
        with cProfile.Profile() as seen:
            replay_stored(history)
    pstats.Stats(seen, stream=sys.stdout).sort_stats("tottime").print_stats(25)


if __name__ == "__main__":
    if "--profile" in sys.argv[1:]:
        profile()
    sys.exit(judge(measure))
