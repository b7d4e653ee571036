"""What every step of the work with one pitcher has at hand."""

from collections.abc import Callable

from simulators.diary import Cooling, Mass, Mishap
from simulators.faults import Fault, FaultKind
from simulators.hands import Motion
from simulators.interludes import interlude
from simulators.physics.pitcher import BENCH, PAN, Pitcher, Stand
from simulators.scenario import ScenarioError
from simulators.service import PitcherShare
from simulators.shift import OpenLot, Shift

LEAST_POUR_S = 2.5
PATIENCE_S = 7200.0


class PitcherJob:
    """One pitcher of one lot: who works with it, where, by which recipe and with what habits."""

    def __init__(self, shift: Shift, lot: OpenLot, share: PitcherShare) -> None:
        self.shift = shift
        self.hands = shift.hands
        self.bench = shift.bench
        self.lot = lot
        self.card = lot.plan.recipe
        self.habits = lot.plan.habits
        self.share = share
        self.number = share.pitcher
        self.drawn_g = 0.0
        self.pitcher = Pitcher(
            shift.pitcher.steel_g,
            shift.pitcher.degc,
            thinness=shift.pitcher.thinness,
            setting=lot.plan.setting,
            convects=shift.pitcher.convects,
        )

    def pour(self, grams: float, g_per_s: float, give: Callable[[float], object]) -> Motion:
        """Pour some grams, never faster than a hand does."""
        seconds = max(LEAST_POUR_S, grams / g_per_s)
        yield from self.hands.stream(max(0.0, grams), seconds, give)

    def put(self, place: Stand) -> Motion:
        """Put the pitcher somewhere, unless it stands there."""
        if self.pitcher.stand is not place:
            yield from self.hands.stand(self.pitcher, place)

    def put_on(self, *, scale: bool) -> Motion:
        """Put the pitcher on the scale or on the bench."""
        yield from self.put(PAN if scale else BENCH)

    def cool_to(self, degc: float, edge_degc: float) -> Motion:
        """Wait for the thermometer to show at most `degc`; note when it passed the edge."""
        began_s = self.bench.time_s
        passed_s: list[float] = []

        def reached() -> bool:
            shown = self.bench.thermometer_degc
            if shown is not None and shown <= edge_degc and not passed_s:
                passed_s.append(self.bench.time_s)
            return shown is not None and shown <= degc

        if not reached():
            yield from interlude(self.hands, self.habits.strays)
        yield from self.hands.until(reached, PATIENCE_S)
        if passed_s:
            cooling = Cooling(self.number, edge_degc, began_s, passed_s[0])
            self.shift.diary.coolings.append(cooling)

    def wait_for(self, degc: float) -> Motion:
        """Wait for the thermometer to show at most `degc`."""
        yield from self.hands.until(lambda: self.now_degc() <= degc, PATIENCE_S)

    def now_degc(self) -> float:
        """Return what the pitcher's thermometer shows; demands that it is there."""
        shown = self.bench.thermometer_degc
        self.demand(shown is not None, "The pitcher's thermometer is unplugged when it is needed")
        return shown or 0.0

    def fault(self, kind: FaultKind) -> Fault | None:
        """Return the planted fault of that kind for this pitcher, if any."""
        return self.lot.plan.fault(kind, self.number)

    def plant(self, kind: FaultKind, what: str) -> Mishap:
        """Note down a mishap with this pitcher that has really been carried out."""
        return self.shift.plant(self.lot, kind, what, pitcher=self.number)

    def work(self, phase: str) -> None:
        """Note that this pitcher is being worked with."""
        self.shift.diary.work(phase, self.number, self.bench.time_s)

    def weigh(self, kind: str, grams: float, vessel: int | None = None) -> None:
        """Note what is truly in the pitcher or the vessel."""
        mass = Mass(kind, self.number, vessel, grams, self.bench.time_s)
        self.shift.diary.weigh(mass)

    def slip(self, mean_g: float, sigma_g: float) -> float:
        """Return how far a careful hand is off, never more than two sigma."""
        slip = self.hands.chance.gauss(0.0, sigma_g)
        return mean_g + max(-2 * sigma_g, min(2 * sigma_g, slip))

    def say(self, what: str) -> None:
        """Tell what she does."""
        self.shift.say(f"pitcher {self.number}: {what}")

    def demand(self, holds: bool, problem: str) -> None:
        """Raise ScenarioError with the problem where something does not hold."""
        if not holds:
            raise ScenarioError(f"{problem} in lot {self.lot.id} ({self.card.name})")
