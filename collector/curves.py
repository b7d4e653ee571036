"""What a temperature curve says: how fast it cools, when it will reach a temperature.

Wax above its plateau cools by Newton's law toward the room; near the plateau it does not, and
these functions then answer None instead of a number.
"""

import math
from collections.abc import Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

US_PER_S = 1_000_000

FIT_US = 180 * US_PER_S
"""How much of the latest curve a fit looks at: long against a probe's lag, short against a pour."""

LEAST_FIT_US = 30 * US_PER_S
"""A shorter piece of curve tells the noise of the probe, not the cooling of the wax."""

LEAST_RATE_PER_S = 1e-6
"""A slower decay is a plateau or a pot at its set point, not a cooling pitcher."""


class Cooling(msgspec.Struct, frozen=True):
    """Newton's law of cooling, dT/dt = -k (T - ambient), fitted to a piece of curve.

    Temperatures in 0.001 °C; `rate_per_s` is k. OpenStax, Calculus Volume 2, section 2.8.
    """

    at_us: int
    mdegc: float
    ambient_mdegc: int
    rate_per_s: float

    def us_until(self, mdegc: int) -> int | None:
        """Return how long after `at_us` the curve reaches a temperature; None where never."""
        if not self.ambient_mdegc < mdegc:
            return None
        ratio = (self.mdegc - self.ambient_mdegc) / (mdegc - self.ambient_mdegc)
        return round(math.log(ratio) / self.rate_per_s * US_PER_S) if ratio > 1 else 0


def fit_cooling(
    points: Sequence[tuple[int, int]], ambient_mdegc: int, now_us: int
) -> Cooling | None:
    """Fit the latest `FIT_US` of a curve of (UTC microseconds, 0.001 °C) points.

    Returns None where the curve is too short, not above the room, or not falling.
    """
    recent = [(t, v) for t, v in points if t > now_us - FIT_US and v > ambient_mdegc]
    if len(recent) < 5 or recent[-1][0] - recent[0][0] < LEAST_FIT_US:
        return None
    seconds = np.array([(t - now_us) / US_PER_S for t, _ in recent])
    logs = np.log(np.array([float(v - ambient_mdegc) for _, v in recent]))
    slope, intercept = np.polyfit(seconds, logs, 1)
    if -slope < LEAST_RATE_PER_S:
        return None
    now = ambient_mdegc + math.exp(float(intercept))
    return Cooling(now_us, now, ambient_mdegc, -float(slope))


def reduce_curve(
    times: NDArray[np.int64], values: NDArray[np.int64], points: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Keep at most `points` of a curve so that every peak and trough stays.

    The span is cut into equal pieces of time and the lowest and the highest point of each are
    kept, in their order, and with them the curve's first and last point.
    """
    if len(times) <= points:
        return times, values
    pieces = max(1, (points - 2) // 2)
    edges = np.linspace(times[0], times[-1] + 1, pieces + 1)
    starts = np.searchsorted(times, edges[:-1])
    ends = np.searchsorted(times, edges[1:])
    kept = {0, len(times) - 1}
    for start, end in zip(starts, ends, strict=True):
        if end > start:
            kept.add(int(start + np.argmin(values[start:end])))
            kept.add(int(start + np.argmax(values[start:end])))
    order = np.array(sorted(kept))
    return times[order], values[order]
