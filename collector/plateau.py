"""The plateau at which wax sets, and the flattening that leads there.

Wax that sets gives off heat and stops cooling; no law of cooling may be forced through that.
The plateau is that of ASTM D87: read every 15 s, the first five consecutive readings that all
agree within 0.1 °C; the result is their mean, to 0.05 °C.
"""

from collections.abc import Sequence

import msgspec
import numpy as np

from collector.cooling import US_PER_S
from collector.trace import REACH, SURROUNDINGS_MDEGC, Curve, latest_piece, line, noise_mdegc

EVERY_US = 15 * US_PER_S
"""ASTM D87: a reading every 15 s."""

MANY = 5
AGREE_MDEGC = 100
"""ASTM D87: five consecutive readings, all within 0.1 °C."""

RESULT_MDEGC = 50
"""ASTM D87: the result is given to 0.05 °C."""

FELL_MDEGC = 200
FELL_TIMES = 4
"""A plateau ends a fall: in the minute of its steepest, the curve fell by 0.2 °C and by this many
times what the five readings still fall. A slow steady fall is none, however slow. Assumed."""

GAPS_S = (75.0, 150.0)
"""How long ago the earlier law ended; wax begins to set within a minute or within several."""

SLOW_SHARE = 0.6
"""Less of the fall that the earlier law lets expect is no law of cooling any more. Assumed."""

LEAST_FALL_MDEGC_PER_S = 150 / 60
"""A slower earlier fall, 0.15 °C a minute, cannot be seen to flatten."""

LAW_S = 60.0
SURE = 4.0


class Plateau(msgspec.Struct, frozen=True):
    """A plateau: its temperature (0.001 °C) and the place of the first of its five readings."""

    mdegc: int
    first: int


def plateau(readings: Sequence[int]) -> Plateau | None:
    """Return the plateau in readings (0.001 °C) taken every 15 s; None where there is none.

    A steady fall has none.
    """
    for first in range(MANY - 1, len(readings) - MANY + 1):
        five = readings[first : first + MANY]
        if max(five) - min(five) <= AGREE_MDEGC and _ends_a_fall(readings[: first + 1], five):
            half = MANY * RESULT_MDEGC // 2
            rounded = (sum(five) + half) // (MANY * RESULT_MDEGC) * RESULT_MDEGC
            return Plateau(rounded, first)
    return None


def _ends_a_fall(before: Sequence[int], five: Sequence[int]) -> bool:
    apart = MANY - 1
    fell = max(early - late for early, late in zip(before, before[apart:], strict=False))
    return fell >= max(FELL_MDEGC, FELL_TIMES * (five[0] - five[-1]))


def since_the_top(readings: Sequence[int]) -> Sequence[int]:
    """Return readings from their last highest on: what came before was another melt."""
    top = max(readings, default=0)
    last = max((place for place, value in enumerate(readings) if value == top), default=0)
    return readings[last:]


def slowing(curve: Curve) -> bool:
    """Tell whether a curve falls much less than its own law of some minutes ago lets expect."""
    return any(_slower(curve, gap_s) for gap_s in GAPS_S)


def _slower(curve: Curve, gap_s: float) -> bool:
    law = latest_piece(curve.before(gap_s))
    recent = curve.since(int(np.searchsorted(curve.seconds, -LAW_S)))
    if len(law.seconds) <= 2 * REACH or len(recent.seconds) <= REACH:
        return False
    if law.seconds[-1] - law.seconds[0] < LAW_S:
        return False
    law_rate, law_mdegc = line(law)
    rate, mdegc = line(recent)
    expected = law_rate * (mdegc - SURROUNDINGS_MDEGC) / max(1.0, law_mdegc - SURROUNDINGS_MDEGC)
    if expected > -LEAST_FALL_MDEGC_PER_S:
        return False
    many = len(recent.seconds)
    error = noise_mdegc(recent) * np.sqrt(12 / many) / LAW_S
    return rate > SLOW_SHARE * expected and rate - expected > SURE * float(error)
