"""A curve with fewer points, none of its peaks lost."""

import numpy as np
from numpy.typing import NDArray


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
