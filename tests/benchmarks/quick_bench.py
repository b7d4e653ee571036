"""A bench whose instruments give ten readings a second, and an hour of such readings behind it.

The scale is a pseudo-terminal, the three thermometers are a folder of 1-Wire files. How they move
is an invention of the tests' own.
"""

import asyncio
import math
import threading
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

from served_workshop import Instrument, Served, WiredScale, line, thermometer

from collector.readings import Reading
from collector.store import Store
from simulators.wire.one_wire_text import w1_slave_text

BENCH = "pier"
ROLES = ("pitcher", "pot", "room")
PER_S = 10
HOUR_S = 3600
_BATCH = 12_000

RECIPE = {
    "name": "Slow lamp, 200 g",
    "vessel": {"fill": "200 g", "tolerance": "2 g"},
    "wax": {"name": "soy flake", "never_above": "93 degC"},
    "fragrance": {
        "name": "slow lamp",
        "load": "8 %",
        "load_of": "wax",
        "add_between": ["80 degC", "85 degC"],
    },
    "pour": {"between": ["57 degC", "63 degC"]},
}


def degc(number: int, at_s: float) -> float:
    """Return what a thermometer shows: a slow wave, a little noise, steps of 1/16 degree."""
    wave = 60 + 8 * number + 6 * math.sin(at_s / 400) + 0.2 * math.sin(at_s * 7.1 + number)
    return round(wave * 16) / 16


def fill(folder: Path, names: Sequence[str]) -> None:
    """Store an hour of readings of each thermometer, up to now."""
    rows = _hour(names, round(time.time() - HOUR_S) * 1000)
    with ThreadPoolExecutor(1) as aside:  # the loop of a browser's test may run in this thread
        aside.submit(lambda: asyncio.run(_commit(folder, rows))).result()


def _hour(names: Sequence[str], first_ms: int) -> list[Reading]:
    return [
        Reading(name, (first_ms + 100 * tick) * 1000 + number, round(degc(number, tick / 10) * 1e3))
        for tick in range(HOUR_S * PER_S)
        for number, name in enumerate(names)
    ]


async def _commit(folder: Path, rows: Sequence[Reading]) -> None:
    store = Store.open(folder)
    for start in range(0, len(rows), _BATCH):
        await store.commit(rows[start : start + _BATCH], [])
    store.close()


def open_lot(served: Served) -> None:
    """Open a lot at the bench."""
    served.http.post("/api/recipes", json=RECIPE).raise_for_status()
    lot = {"recipe": RECIPE["name"], "vessels": 6, "bench": BENCH}
    served.http.post("/api/lots", json=lot).raise_for_status()


class QuickBench:
    """The instruments; a thread of its own moves them."""

    def __init__(self, folder: Path, scale: WiredScale) -> None:
        self._scale = scale
        self.probes = [
            thermometer(folder / "w1", BENCH, role, number, f"{1 / PER_S} s")
            for number, role in enumerate(ROLES)
        ]
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._move_on, name="quick bench")
        self._move(0)

    def instruments(self) -> list[Instrument]:
        """Return them as the config names them."""
        return [self._scale.instrument(), *self.probes]

    @contextmanager
    def moving(self) -> Iterator[None]:
        """Move them for the block."""
        self._thread.start()
        try:
            yield
        finally:
            self._over.set()
            self._thread.join()

    def _move_on(self) -> None:
        tick = 0
        while not self._over.wait(1 / PER_S):
            tick += 1
            self._scale.send(line(120 + 0.1 * (tick % 3), steady=True))
            self._move(tick)

    def _move(self, tick: int) -> None:
        for number, probe in enumerate(self.probes):
            file = Path(probe["root"]) / probe["device"] / "w1_slave"
            fresh = file.with_suffix(".fresh")
            fresh.write_text(w1_slave_text(round(degc(number, HOUR_S + tick / 10) * 16)))
            fresh.replace(file)
