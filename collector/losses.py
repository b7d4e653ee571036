"""Fills told by what a pitcher that stands on the scale has lost since it was lifted.

Some pour beside the scale: the pitcher is lifted, a vessel is filled, the pitcher is put back, and
what it lost is the fill. Two vessels filled in between are weighed together.
"""

import msgspec

from collector.expectations import Expectation
from collector.pan import LEAST_CONTAINER_MG, Lifted
from collector.recipes import PPM

ONE_PPM = (750_000, 1_250_000)
"""A loss between these shares of a fill is one fill."""

AGAIN_PPM = (400_000, 1_450_000)
"""The same once this lot has shown that it is filled in this way, however light or heavy."""

EACH_PPM = 100_000
"""Several fills weighed together come as near as this to as many targets; a light one among
them is within it as well."""

FIRST_PPM = 50_000
"""The same where nothing was filled in this way before."""

MOST_AT_ONCE = 3
MOST_AT_FIRST = 2
"""More vessels than this in one go are not told from another thing put on the scale."""

FRESH_MG = 1_500
"""A pitcher that was poured from keeps a film of wax; one that does not is another pitcher."""


class Away(msgspec.Struct, frozen=True):
    """The pitcher that is off the scale, and what is known of it; 0.001 g.

    `empty_mg` is None where it was never seen empty. `left` vessels are still to be filled, and
    `again` says that some were filled in this way.
    """

    lifted: Lifted
    empty_mg: int | None
    left: int
    again: bool


def fills_lost(away: Away, back_mg: int, fill: Expectation) -> int:
    """Return how many fills a pitcher lost that comes back with `back_mg`.

    0 where what came is no such pitcher: lighter than the empty one, or short by something
    other than fills. Masses 0.001 g.
    """
    lost_mg = away.lifted.mass_mg - back_mg
    bare_mg = away.lifted.mass_mg - away.lifted.contents_mg
    if away.left < 1 or bare_mg < LEAST_CONTAINER_MG or back_mg < bare_mg - FRESH_MG:
        return 0
    if away.empty_mg is not None and back_mg < away.empty_mg + FRESH_MG:
        return 0
    if fill.near(lost_mg, *(AGAIN_PPM if away.again else ONE_PPM)):
        return 1
    most, each_ppm = (MOST_AT_ONCE, EACH_PPM) if away.again else (MOST_AT_FIRST, FIRST_PPM)
    several = range(2, min(away.left, most) + 1)
    return next((n for n in several if _near(lost_mg, n * fill.target_mg, each_ppm)), 0)


def _near(lost_mg: int, target_mg: int, ppm: int) -> bool:
    return abs(lost_mg - target_mg) * PPM <= ppm * target_mg
