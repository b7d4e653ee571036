"""The small motions of a maker's hands, as generators that yield once per simulated step."""

from collections.abc import Callable, Generator
from random import Random

from simulators.bench_model import BenchModel
from simulators.physics.pitcher import HAND, PAN, Pitcher, Stand

Motion = Generator[None, None, None]
Weighed = Generator[None, None, float]
"""A motion whose result is grams."""

SLOWING = 1.7
"""How much a stream slows toward its end: the share poured is 1 - (1 - t)^1.7."""

SETTLE_S = 2.2
"""How long she waits before she trusts a display."""

GLANCE_S = 1.4
"""How long she looks before she tops up: she sees that it is too little."""

ZERO_G = 0.5
FINE_G = 0.1


class Hands:
    """Hands at one bench. `chance` gives their small irregularities."""

    def __init__(self, bench: BenchModel, chance: Random) -> None:
        self.bench = bench
        self.chance = chance

    def wait(self, seconds: float) -> Motion:
        """Do nothing for a while."""
        until_s = self.bench.time_s + seconds
        while self.bench.time_s < until_s:
            yield

    def about(self, low_s: float, high_s: float) -> Motion:
        """Do nothing for some seconds between the two."""
        yield from self.wait(self.chance.uniform(low_s, high_s))

    def until(self, condition: Callable[[], bool], patience_s: float) -> Motion:
        """Wait for a condition; raises TimeoutError when patience runs out."""
        give_up_s = self.bench.time_s + patience_s
        while not condition():
            if self.bench.time_s > give_up_s:
                raise TimeoutError(f"Nothing happened at the bench for {patience_s:.0f} s")
            yield

    def weighed(self, wait_s: float = SETTLE_S) -> Weighed:
        """Let the scale settle and read what it shows."""
        yield from self.wait(wait_s)
        return self.bench.pan.display.grams

    def tare(self) -> Motion:
        """Let the scale settle, press its key, and look that it shows zero."""
        yield from self.wait(SETTLE_S)
        self.bench.pan.tare()
        yield from self.about(1.8, 2.8)  # she takes up the ladle, the bottle or the pitcher

    def missing(self, wanted_g: float, base_g: float) -> float:
        """Return what the display still lacks of `wanted_g` above `base_g`, grams.

        On a scale that shows tenths she reads it. On a coarser one she watches the last digit
        turn as it comes, so that she ends where the display shows what she wants.
        """
        pan = self.bench.pan
        if pan.resolution_g <= FINE_G:
            return wanted_g - (pan.display.grams - base_g)
        return wanted_g - (self.bench.load_g - pan.tare_g - base_g)

    def base(self, *, tares: bool) -> Weighed:
        """Tare, or read what the scale shows before something is weighed in; return that."""
        if tares:
            yield from self.tare()
            return 0.0
        return (yield from self.weighed())

    def zero(self) -> Motion:
        """Tare the empty pan, where it still shows a mass from before."""
        shown_g = yield from self.weighed()
        if abs(shown_g) > ZERO_G:
            yield from self.tare()

    def stand(self, pitcher: Pitcher, place: Stand) -> Motion:
        """Put the pitcher somewhere; on the pan, the hand leans on it for a moment."""
        pitcher.stand = place
        if place is PAN:
            yield from self._lean()

    def lift_pitcher(self, pitcher: Pitcher) -> Motion:
        """Take the pitcher off the pan, into the hand."""
        yield from self._lean()
        pitcher.stand = HAND

    def put(self, name: str, grams: float) -> Motion:
        """Put some other thing on the pan."""
        self.bench.on_pan[name] = grams
        yield from self._lean()

    def lift(self, name: str) -> Weighed:
        """Take that thing off the pan again; return its grams."""
        yield from self._lean()
        return self.bench.on_pan.pop(name)

    def put_vessel(self, grams: float) -> Motion:
        """Put an empty vessel on the pan."""
        self.bench.vessel_g = grams
        yield from self._lean()

    def take_vessel(self) -> Motion:
        """Take the vessel off the pan."""
        yield from self._lean()
        self.bench.vessel_g = None

    def stream(self, grams: float, seconds: float, give: Callable[[float], object]) -> Motion:
        """Pour `grams` within `seconds`, slowing toward the end; `give` gets each step's share."""
        began_s = self.bench.time_s
        given = 0.0
        progress = 0.0
        self.bench.pouring = True
        while progress < 1.0:
            yield
            progress = min(1.0, (self.bench.time_s - began_s) / seconds)
            due = grams * (1.0 - (1.0 - progress) ** SLOWING)
            give(due - given)
            given = due
        self.bench.pouring = False

    def _lean(self) -> Motion:
        self.bench.pan.hand_g = self.chance.uniform(15.0, 120.0)
        yield from self.about(0.3, 0.6)
        self.bench.pan.hand_g = 0.0
