"""Something poured into a container, and what it came to."""

import msgspec

from collector.conclusions import Evidence, WeighingKind
from collector.weighings import Plateau, Step

TRIM_SHARE = 0.15
TRIM_SLOWER = {WeighingKind.WAX: 3.0, WeighingKind.FRAGRANCE: 2.2, WeighingKind.FILL: 3.0}
"""A last go that is small, and so many times slower than the quickest one, is one that is poured to
the mark: she thinks she is done. Common practice, no source."""

AT_ONCE = 1e9
"""The speed of what came at once, 0.001 g per microsecond."""


class Key(msgspec.Struct, frozen=True):
    """Which addition of a lot: there is one of each, however often it is topped up.

    `tipped` is fragrance on its way from its beaker into the wax.
    """

    kind: WeighingKind
    pitcher: int
    vessel: int | None = None
    tipped: bool = False


class Addition(msgspec.Struct, frozen=True):
    """Something being poured: what, from which display value on, and what it came to; 0.001 g.

    `base_mg` is the display's value without it; a tare moves it. `net_mg` is what it came to
    when it last rested, at `rested`; None while it has not. `gone_us` is when its last go ended.
    `apart` says that it goes into a beaker of its own. `lost` fills of a pitcher that stands on
    the scale are what it lost since the base. `at_once` says that nobody saw it being poured,
    `tared` that the display was zeroed since it began.
    """

    key: Key
    start: Plateau
    base_mg: int
    net_mg: int = 0
    rested: Plateau | None = None
    gone_us: int = 0
    goes: int = 0
    quickest: float = 0.0
    trimmed: bool = False
    apart: bool = False
    at_once: bool = False
    tared: bool = False
    lost: int = 0

    def net_at(self, display_mg: int) -> int:
        """Return its mass at a display value."""
        return self.base_mg - display_mg if self.lost else display_mg - self.base_mg

    def at_rest(self, plateau: Plateau) -> "Addition":
        """Return it as a resting scale shows it."""
        return msgspec.structs.replace(self, net_mg=self.net_at(plateau.value_mg), rested=plateau)

    def moved(self, by_mg: int) -> "Addition":
        """Return it after the display changed by so much while nothing was poured."""
        return msgspec.structs.replace(self, base_mg=self.base_mg + by_mg)

    def went(self, step: Step, target_mg: int) -> "Addition":
        """Return it after one more go: ladle after ladle, and then to the mark."""
        took_us = max(1, step.after.from_us - step.before.to_us)
        speed = AT_ONCE if step.abrupt else step.change_mg / took_us
        small = step.change_mg <= target_mg * TRIM_SHARE
        return msgspec.structs.replace(
            self,
            net_mg=self.net_at(step.after.value_mg),
            rested=step.after,
            gone_us=step.after.from_us,
            goes=self.goes + 1,
            trimmed=small and speed * TRIM_SLOWER[self.key.kind] <= self.quickest,
            quickest=max(self.quickest, speed),
            at_once=step.abrupt,
        )

    def evidence(self, channel: str, plateau: Plateau) -> Evidence:
        """Return the readings from the plateau before it to the one after."""
        count = plateau.last - self.start.first + 1
        return Evidence(channel, self.start.from_us, plateau.to_us, count)
