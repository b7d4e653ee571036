"""A curve with fewer points, none of its peaks lost."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

LEAST_POINTS = 4
"""A curve's two ends, its peak and its trough."""


def reduce_curve(
    times: NDArray[np.int64], values: NDArray[np.int64], points: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Keep at most `points` of a curve (but four in any case) so that every peak and trough stays.

    The span is cut into equal pieces of time and the lowest and the highest point of each are
    kept, in their order, and with them the curve's first and last point.
    """
    if len(times) <= max(points, LEAST_POINTS):
        return times, values
    kept = {0, len(times) - 1}
    for start, end in pairwise(_cuts(times, max(1, (points - 2) // 2))):
        if end > start:
            kept.add(int(start + np.argmin(values[start:end])))
            kept.add(int(start + np.argmax(values[start:end])))
    order = np.array(sorted(kept))
    return times[order], values[order]


def _cuts(times: NDArray[np.int64], pieces: int) -> list[int]:
    """Return the places at which equal pieces of time begin, and the end of the last."""
    first_us, last_us = int(times[0]), int(times[-1])
    # Whole numbers: as floats, the times of this century are not exact.
    edges = [first_us + (last_us + 1 - first_us) * n // pieces for n in range(pieces)]
    return [*np.searchsorted(times, np.array(edges, np.int64)).tolist(), len(times)]
