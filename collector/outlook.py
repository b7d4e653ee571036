"""What the latest curve of the wax lets expect, and why where it lets expect nothing."""

from collections.abc import Sequence

import msgspec

from collector.forecast import (
    REACHED,
    STILL_MDEGC_PER_S,
    SURE,
    Laws,
    Span,
    Why,
    fit_laws,
)
from collector.plateau import plateau, since_the_top, slowing
from collector.recipes import Window
from collector.trace import Curve, latest_piece

ABOVE_ROOM_MDEGC = 8_000
"""What rests nearer to the room than this has cooled down, it is not setting (ASTM D87 keeps the
bath well below the wax in the same way)."""

WARMEST_ROOM_MDEGC = 30_000

MELTED_AGAIN_MDEGC = 1_000
"""Wax so far above its plateau is not setting any more."""


class Outlook(msgspec.Struct, frozen=True):
    """The latest curve as judged at `at_us`; all times count from there.

    `laws` is None, and `why` tells the reason, where no time can be given at all; `setting_mdegc`
    is the plateau. Rates are 0.001 °C per minute.
    """

    at_us: int
    why: Why | None = None
    laws: Laws | None = None
    mdegc_per_min: int | None = None
    setting_mdegc: int | None = None

    def until(self, mdegc: int) -> Span | Why:
        """Return how long after `at_us` the wax reaches a temperature (0.001 °C), or why not."""
        if self.laws is None:
            return self.why or Why.TOO_SHORT
        rising = self.laws.mdegc_per_s > 0
        if (mdegc <= self.laws.mdegc) if rising else (mdegc >= self.laws.mdegc):
            return REACHED
        return self.laws.until(mdegc)


class Ahead(msgspec.Struct, frozen=True):
    """When a window opens and closes, counted from the outlook's time, and why not where not.

    A window that is open has no `opens`; where it neither opens nor closes, `why` tells.
    """

    opens: Span | None = None
    closes: Span | None = None
    why: Why | None = None


def look_ahead(curve: Curve, quarters: Sequence[int], room_mdegc: int | None) -> Outlook:
    """Judge a curve; `quarters` are its readings every 15 s (0.001 °C), the last one latest."""
    laws = fit_laws(latest_piece(curve), room_mdegc)
    if isinstance(laws, Why):
        return Outlook(curve.at_us, laws)
    rate = round(laws.mdegc_per_s * 60)
    setting = _setting(quarters, WARMEST_ROOM_MDEGC if room_mdegc is None else room_mdegc)
    if setting is not None:
        return Outlook(curve.at_us, Why.SETTING, None, rate, setting)
    moves = max(STILL_MDEGC_PER_S, SURE * laws.rate_error)
    if abs(laws.mdegc_per_s) < moves:
        return Outlook(curve.at_us, Why.STEADY, None, rate)
    if laws.mdegc_per_s < 0 and slowing(curve):
        return Outlook(curve.at_us, Why.SLOWING, None, rate)
    return Outlook(curve.at_us, None, laws, rate)


def _setting(quarters: Sequence[int], room_mdegc: int) -> int | None:
    found = plateau(since_the_top(quarters))
    if found is None or found.mdegc < room_mdegc + ABOVE_ROOM_MDEGC:
        return None
    return found.mdegc if quarters[-1] < found.mdegc + MELTED_AGAIN_MDEGC else None


def window_ahead(outlook: Outlook, mdegc: int, window: Window) -> Ahead:
    """Return when a window opens and closes for wax that is at `mdegc` (0.001 °C) now.

    Wax cools into it from above, or warms into it from below.
    """
    laws = outlook.laws
    if laws is None:
        return Ahead(why=outlook.why)
    rising = laws.mdegc_per_s > 0
    first, last = window.low_mdegc, window.high_mdegc
    if not rising:
        first, last = last, first
    gone = mdegc > last if rising else mdegc < last
    if gone:
        return Ahead(why=Why.RISING if rising else Why.NEVER)
    inside = window.low_mdegc <= mdegc <= window.high_mdegc
    opens, closes = outlook.until(first), outlook.until(last)
    why = closes if isinstance(closes, Why) else None
    if inside:
        return Ahead(None, closes if isinstance(closes, Span) else None, why)
    return Ahead(
        opens if isinstance(opens, Span) else None,
        closes if isinstance(closes, Span) else None,
        opens if isinstance(opens, Why) else why,
    )
