"""A limit with deadband and delay: one alarm for one event, however noisy the probe.

ISA-18.2 and IEC 62682 name the parts: on-delay, off-delay and deadband.
"""

from enum import StrEnum

import msgspec


class LimitSpec(msgspec.Struct, frozen=True):
    """An upper bound (in a quantity's resolution) and how patient it is (microseconds)."""

    high: int
    deadband: int
    on_delay_us: int
    off_delay_us: int


class Crossing(StrEnum):
    """What became of a limit."""

    VIOLATED = "violated"
    KEPT = "kept"


class LimitWatch:
    """Follows one value against one limit.

    The value must stay above the limit for the whole on-delay before the limit counts as
    violated, and below limit less deadband for the whole off-delay before it counts as kept.
    """

    def __init__(self, spec: LimitSpec) -> None:
        self.spec = spec
        self.violated = False
        self._since_us: int | None = None

    def feed(self, at_us: int, value: int) -> Crossing | None:
        """Take the value at a time; return what changed."""
        spec = self.spec
        if self.violated:
            turning, delay = value < spec.high - spec.deadband, spec.off_delay_us
        else:
            turning, delay = value > spec.high, spec.on_delay_us
        if not turning:
            self._since_us = None
            return None
        if self._since_us is None:
            self._since_us = at_us
        if at_us - self._since_us < delay:
            return None
        self.violated, self._since_us = not self.violated, None
        return Crossing.VIOLATED if self.violated else Crossing.KEPT
