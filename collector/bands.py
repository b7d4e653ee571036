"""The band of good lots: where one more good lot is to be expected, moment by moment."""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import msgspec
import numpy as np
from numpy.typing import NDArray

from collector.anchors import PITCHER, Reach, reaches
from collector.band import Anchor, Band, Stretch
from collector.lot_record import LotRecord

LEAST_LOTS = 3
"""Two lots do not tell how far lots differ. Common practice, no source."""

MOST_LOTS = 20
"""The latest ones: a workshop changes with the season and its wax."""

STEP_S = 10
STEP_US = STEP_S * 1_000_000

LONGEST_GAP_STEPS = 6
"""Over a minute without readings a pitcher may have been warmed: nothing is put in between."""

LEAST_HALF_MDEGC = 1000
"""No band is narrower than this to either side: a DS18B20 is accurate to ±0.5 °C (its data
sheet), and two of them may differ by twice that."""

T_95 = (
    *(6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812),
    *(1.796, 1.782, 1.771, 1.761, 1.753, 1.746, 1.740, 1.734, 1.729),
)
"""Student's t, quantile 0.95, for 1 degree of freedom and more: NIST/SEMATECH e-Handbook of
Statistical Methods, section 1.3.6.7.2. Both sides together leave out one good lot in ten."""


class GoodLot(msgspec.Struct, frozen=True):
    """A good lot: its record, and its pitcher's good readings (UTC microseconds, 0.001 °C)."""

    record: LotRecord
    times: NDArray[np.int64]
    values: NDArray[np.int64]

    @property
    def name(self) -> str:
        """The lot's id."""
        return self.record.opened.lot or ""


class LaidStretch(msgspec.Struct, frozen=True):
    """A stretch of a band on a lot's own clock: UTC microseconds, 0.001 °C."""

    anchor: Anchor
    times_us: tuple[int, ...]
    low_mdegc: tuple[int, ...]
    high_mdegc: tuple[int, ...]


def band_of(lots: Sequence[GoodLot]) -> Band | None:
    """Return the band of some good lots of one recipe, None where they are too few.

    Each stretch goes on as far as three lots have a temperature.
    """
    if len(lots) < LEAST_LOTS:
        return None
    curves = [_curves(lot) for lot in lots]
    stretches = (_stretch(anchor, curves) for anchor in Anchor)
    found = tuple(stretch for stretch in stretches if stretch is not None)
    return Band(tuple(lot.name for lot in lots), found) if found else None


def prediction_interval(values: Sequence[float], t: float) -> tuple[float, float]:
    """Return where one more value of the same kind is to be expected, low and high.

    mean ± t s sqrt(1 + 1/n) with the sample's standard deviation s, for n independent values of
    a normal distribution: Montgomery and Runger, Applied Statistics and Probability for
    Engineers, "Prediction interval for a future observation". `t` is the quantile of Student's
    distribution for n - 1 degrees of freedom. Raises ValueError for fewer than two values.
    """
    count = len(values)
    if count < 2:
        raise ValueError("an interval takes two values at least")
    mean = math.fsum(values) / count
    squares = math.fsum((value - mean) ** 2 for value in values)
    half = t * math.sqrt(squares / (count - 1)) * math.sqrt(1 + 1 / count)
    return mean - half, mean + half


def laid_on(band: Band, record: LotRecord) -> tuple[LaidStretch, ...]:
    """Lay a band on the clock of a lot: each stretch from its anchor until the next one."""
    stretches = {stretch.anchor: stretch for stretch in band.stretches}
    found = ((reach, stretches.get(reach.anchor)) for reach in _reaches(record))
    return tuple(_laid(reach, stretch) for reach, stretch in found if stretch is not None)


def _laid(reach: Reach, stretch: Stretch) -> LaidStretch:
    step_us, most = stretch.step_s * 1_000_000, len(stretch.low_mdegc)
    if reach.until_us is not None:
        most = min(most, (reach.until_us - reach.from_us) // step_us + 1)
    times = tuple(reach.from_us + n * step_us for n in range(most))
    return LaidStretch(reach.anchor, times, stretch.low_mdegc[:most], stretch.high_mdegc[:most])


def _reaches(record: LotRecord) -> tuple[Reach, ...]:
    return reaches({run.phase: run for run in record.phases if run.pitcher == PITCHER})


def _curves(lot: GoodLot) -> Mapping[Anchor, Sequence[float | None]]:
    return {
        reach.anchor: _sampled(lot, reach.from_us, reach.until_us)
        for reach in _reaches(lot.record)
        if reach.until_us is not None
    }


def _sampled(lot: GoodLot, from_us: int, until_us: int) -> list[float | None]:
    """Return the temperature at each step; None where a gap is too long to see across.

    Each is the median of the readings around it and between the same anchors, so that a single
    wild one does not count.
    """
    grid = np.arange(from_us, until_us + 1, STEP_US)
    since = np.maximum(grid - STEP_US // 2, from_us)
    until = np.minimum(grid + STEP_US // 2, until_us)
    starts = np.searchsorted(lot.times, since, side="left").tolist()
    ends = np.searchsorted(lot.times, until, side="right").tolist()
    seen = [
        float(np.median(lot.values[start:end])) if end > start else None
        for start, end in zip(starts, ends, strict=True)
    ]
    return _bridged(seen)


def _bridged(seen: list[float | None]) -> list[float | None]:
    known = [n for n, value in enumerate(seen) if value is not None]
    bridged = list(seen)
    for left, right in pairwise(known):
        before, after = seen[left], seen[right]
        if right - left > LONGEST_GAP_STEPS or before is None or after is None:
            continue
        for n in range(left + 1, right):
            bridged[n] = before + (after - before) * (n - left) / (right - left)
    return bridged


def _stretch(
    anchor: Anchor, curves: Sequence[Mapping[Anchor, Sequence[float | None]]]
) -> Stretch | None:
    bounds = list(_bounds([curve[anchor] for curve in curves if anchor in curve]))
    if not bounds:
        return None
    low, high = zip(*bounds, strict=True)
    return Stretch(anchor, STEP_S, low, high)


def _bounds(curves: Sequence[Sequence[float | None]]) -> Iterator[tuple[int, int]]:
    for n in range(max((len(curve) for curve in curves), default=0)):
        at_step = [curve[n] for curve in curves if n < len(curve)]
        values = [value for value in at_step if value is not None]
        if len(values) < LEAST_LOTS:
            return
        low, high = prediction_interval(values, T_95[min(len(values) - 1, len(T_95)) - 1])
        middle = (low + high) / 2
        yield (
            round(min(low, middle - LEAST_HALF_MDEGC)),
            round(max(high, middle + LEAST_HALF_MDEGC)),
        )
