"""A stored curve, reduced for a screen and cut where nothing was collected."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from api import shapes
from collector.curves import reduce_curve
from collector.readings import Channel, Quality
from collector.store.records import ReadingSpan
from collector.units import UNIT_OF, from_fixed

GAP_US = 15_000_000
"""A longer time without a reading is shown as a gap: more than any instrument's patience."""

US_PER_S = 1_000_000


def curve(channel: Channel, span: ReadingSpan, points: int) -> shapes.CurveShown:
    """Show the readings of a channel that have a usable number.

    Those that came late are among them. Every stretch without a gap keeps its ends, its peaks
    and its troughs, even where many gaps make more points of it than were asked for; between
    stretches stands a null.
    """
    usable = span.qualities < Quality.BAD
    # Hardly ever is one of them not, and a long span is not copied for nothing.
    times, values, _ = span if usable.all() else span.where(usable)
    shown_t: list[float] = []
    shown_v: list[float | None] = []
    stretches = _stretches(times)
    for start, end in stretches:
        if shown_t:
            shown_t.append((times[start - 1] + 1) / US_PER_S)
            shown_v.append(None)
        share = max(2, points * (end - start) // max(1, len(times)))
        kept_t, kept_v = reduce_curve(times[start:end], values[start:end], share)
        shown_t += [t / US_PER_S for t in kept_t.tolist()]
        shown_v += [from_fixed(v, channel.quantity) for v in kept_v.tolist()]
    return shapes.CurveShown(
        channel=channel.name, unit=UNIT_OF[channel.quantity], t=shown_t, value=shown_v
    )


def _stretches(times: NDArray[np.int64]) -> list[tuple[int, int]]:
    if len(times) == 0:
        return []
    breaks = (np.flatnonzero(np.diff(times) > GAP_US) + 1).tolist()
    return list(pairwise([0, *breaks, len(times)]))
