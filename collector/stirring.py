"""How long the wax can have been stirred, as the scale saw it.

A pitcher that rests on the scale is not being stirred. So the time it was away or restless is
the longest that it can have been; and a pitcher that is restless for long surely is.
"""

import msgspec

from collector.scene import Load
from collector.weighings import Scale

SEEN_US = 8_000_000
"""Restless for this long is stirring, not setting down a pitcher. Common practice, no source."""

PAUSE_US = 3_000_000
"""At rest for this long, stirring has stopped."""

TO_THE_POUR_US = 5_000_000
"""Who pours so soon after lifting the pitcher has not stirred in between."""

LONGEST_STEP_US = 2_000_000
"""Readings further apart than this say nothing about the time between them."""


class Stirred(msgspec.Struct, frozen=True):
    """Stirring that the scale saw begin or, with `ended_us`, end."""

    began_us: int
    ended_us: int | None


class Glimpse(msgspec.Struct, frozen=True):
    """What the scale did at one reading.

    A scale that never showed a pitcher cannot tell whether it stands there at rest:
    `pitcher_shown`.
    """

    at_us: int
    scale: Scale
    load: Load
    pitcher_shown: bool = True

    def alike(self, other: "Glimpse") -> bool:
        """Tell whether both show the same."""
        return (
            self.scale is other.scale
            and self.load is other.load
            and self.pitcher_shown is other.pitcher_shown
        )


class StirWatch:
    """Follows the scale between the fragrance and the pour."""

    def __init__(self, since_us: int) -> None:
        self._last_us = since_us
        self._began_us: int | None = None
        self._moved_us = since_us
        self._seen = False
        self._since_us = since_us
        self._unresting_us = 0
        self._pitcher_seen = True
        self._on_scale = True
        self._left = (since_us, 0)  # when the pitcher was lifted last, and the sum by then

    def feed(self, seen: Glimpse) -> Stirred | None:
        """Take what the scale did at one reading; return what it saw begin or end.

        Where it never showed a pitcher, rest does not count against stirring.
        """
        at_us, scale = seen.at_us, seen.scale
        self._pitcher_seen = seen.pitcher_shown
        step = min(at_us - self._last_us, LONGEST_STEP_US)
        self._last_us = at_us
        on_scale = seen.load is Load.PITCHER
        if self._on_scale and not on_scale:
            self._left = (at_us, self._unresting_us)
        self._on_scale = on_scale
        if not on_scale or scale is not Scale.RESTING:
            self._unresting_us += step
        if on_scale and scale is Scale.MOVING:
            self._moved_us = at_us
            if self._began_us is None:
                self._began_us = at_us
            if not self._seen and at_us - self._began_us >= SEEN_US:
                self._seen = True
                return Stirred(self._began_us, None)
            return None
        return self._pause(at_us, lifted=not on_scale)

    @property
    def possible_us(self) -> int:
        """The longest that it can have been stirred so far."""
        return self._unresting_us if self._pitcher_seen else self._last_us - self._since_us

    def possible_by(self, until_us: int) -> int:
        """Return the same for a pour that began at a time.

        Vessels filled beside the scale are seen only when the pitcher is back.
        """
        left_us, by_then_us = self._left
        at_once = until_us <= left_us + TO_THE_POUR_US
        return by_then_us if self._pitcher_seen and at_once else self.possible_us

    def _pause(self, at_us: int, *, lifted: bool) -> Stirred | None:
        if self._began_us is None or not (lifted or at_us - self._moved_us >= PAUSE_US):
            return None
        ended = Stirred(self._began_us, self._moved_us) if self._seen else None
        self._began_us, self._seen = None, False
        return ended
