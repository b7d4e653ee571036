"""A bench's readings as numbers: what instruments of the trade show over some hours.

Two readings a second. A reading's time is that of its arrival, some milliseconds off and in whole
ones. A DS18B20 shows steps of 0.0625 degC (its data sheet) and trembles by about one; a scale
shows steps of 0.1 g, trembles in the last digit and sees vessels filled one after another. The
sizes of noise and jitter are common practice, no source.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from collector.readings import Role
from collector.store.records import ReadingSpan

PER_S = 2
STEP_US = 1_000_000 // PER_S
JITTER_MS = 12

PROBE_STEP_MDEGC = 62.5
PROBE_NOISE_MDEGC = 50.0
SCALE_STEP_MG = 100.0
SCALE_NOISE_MG = 60.0
FILL_EVERY_S = 75
FILL_LASTS_S = 20

Numbers = NDArray[np.float64]


def span(role: Role, began_us: int, seconds: int, rng: np.random.Generator) -> ReadingSpan:
    """Return the readings of one channel from a time on."""
    count = seconds * PER_S
    late_ms = rng.integers(0, JITTER_MS, count)
    times = began_us + np.arange(count, dtype=np.int64) * STEP_US + late_ms * 1000
    shown = SHOWN[role](np.arange(count) / PER_S, rng)
    return ReadingSpan(times, shown.astype(np.int64), np.zeros(count, np.uint8))


def _scale(seconds: Numbers, rng: np.random.Generator) -> Numbers:
    fills_mg = rng.uniform(120_000, 260_000, int(seconds[-1] // FILL_EVERY_S) + 1)
    fill, within_s = np.divmod(seconds, FILL_EVERY_S)
    poured = fills_mg[fill.astype(int)] * np.clip(within_s / FILL_LASTS_S, 0, 1)
    trembling: Numbers = poured + rng.normal(0, SCALE_NOISE_MG, len(seconds))
    return np.round(trembling / SCALE_STEP_MG) * SCALE_STEP_MG


def _pitcher(seconds: Numbers, rng: np.random.Generator) -> Numbers:
    every_s = 5400  # a pitcher is drawn hot and cools, and then the next
    return _probe(24_000 + 62_000 * np.exp(-(seconds % every_s) / 4000), rng)


def _pot(seconds: Numbers, rng: np.random.Generator) -> Numbers:
    return _probe(82_000 + 1_500 * np.sin(seconds / 240), rng)


def _room(seconds: Numbers, rng: np.random.Generator) -> Numbers:
    return _probe(20_000 + 3_000 * seconds / seconds[-1], rng)


def _probe(mdegc: Numbers, rng: np.random.Generator) -> Numbers:
    noisy = mdegc + rng.normal(0, PROBE_NOISE_MDEGC, len(mdegc))
    return np.floor(np.round(noisy / PROBE_STEP_MDEGC) * PROBE_STEP_MDEGC)


SHOWN: dict[Role, Callable[[Numbers, np.random.Generator], Numbers]] = {
    Role.SCALE: _scale,
    Role.PITCHER: _pitcher,
    Role.POT: _pot,
    Role.ROOM: _room,
}
