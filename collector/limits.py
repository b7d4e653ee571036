"""A limit with deadband and delay: one alarm for one event, however noisy the probe.

ISA-18.2 and IEC 62682 name the parts: on-delay, off-delay and deadband.
"""

from enum import StrEnum

import msgspec


class LimitSpec(msgspec.Struct, frozen=True, kw_only=True):
    """A lower and an upper bound (in a quantity's resolution) and how patient they are.

    None is no bound; delays in microseconds.
    """

    low: int | None = None
    high: int | None = None
    deadband: int
    on_delay_us: int
    off_delay_us: int

    def broken_by(self, value: int) -> bool:
        """Tell whether a value is beyond a bound."""
        below = self.low is not None and value < self.low
        return below or (self.high is not None and value > self.high)

    def kept_by(self, value: int) -> bool:
        """Tell whether a value is inside every bound by more than the deadband."""
        above = self.low is None or value > self.low + self.deadband
        return above and (self.high is None or value < self.high - self.deadband)


class Crossing(StrEnum):
    """What became of a limit."""

    VIOLATED = "violated"
    KEPT = "kept"


class LimitWatch:
    """Follows one value against one limit.

    The value must stay beyond a bound for the whole on-delay before the limit counts as
    violated, and inside by more than the deadband for the whole off-delay before it counts as
    kept.
    """

    def __init__(self, spec: LimitSpec) -> None:
        self.spec = spec
        self.violated = False
        self._since_us: int | None = None

    def feed(self, at_us: int, value: int) -> Crossing | None:
        """Take the value at a time; return what changed."""
        spec = self.spec
        turning = spec.kept_by(value) if self.violated else spec.broken_by(value)
        if not turning:
            self._since_us = None
            return None
        if self._since_us is None:
            self._since_us = at_us
        if at_us - self._since_us < (spec.off_delay_us if self.violated else spec.on_delay_us):
            return None
        self.violated, self._since_us = not self.violated, None
        return Crossing.VIOLATED if self.violated else Crossing.KEPT

    def start_afresh(self) -> None:
        """Forget what was: the limit is not judged for a while."""
        self.violated, self._since_us = False, None
