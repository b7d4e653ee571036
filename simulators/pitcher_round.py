"""One pitcher of a lot, from the pot to the pour window: draw, add fragrance, stir, cool."""

from collections.abc import Callable

from simulators.faults import COOLING, DRAWING, Fault, FaultKind
from simulators.hands import GLANCE_S, Motion
from simulators.mishaps import start_mishaps
from simulators.physics.pitcher import BENCH, PAN, Pitcher
from simulators.scenario import ScenarioError
from simulators.service import PitcherShare
from simulators.shift import OpenLot, Shift

DRAWS = ((0.5, 28.0), (0.32, 24.0), (0.14, 12.0))
"""The goes in which wax is drawn: share of the target and grams per second."""

LAST_DRAW_G_PER_S = 5.0
FRAGRANCE_G_PER_S = 5.0
LAST_FRAGRANCE_G_PER_S = 1.5
LEAST_POUR_S = 2.5
MARGIN_K = 0.6  # she begins a little below the upper edge of a window
WRONG_K = 1.5  # what a planted temperature must at least be off, to be called wrong
PATIENCE_S = 7200.0


class PitcherRound:
    """The maker's work with one pitcher of one lot, up to where it is ready to pour."""

    def __init__(self, shift: Shift, lot: OpenLot, share: PitcherShare) -> None:
        self._shift = shift
        self._hands = shift.hands
        self._bench = shift.bench
        self._lot = lot
        self._card = lot.plan.recipe
        self._habits = lot.plan.habits
        self._share = share
        self._drawn_g = 0.0
        self.pitcher = Pitcher(
            shift.pitcher.steel_g, shift.pitcher.degc, thinness=shift.pitcher.thinness
        )

    def prepare(self) -> Motion:
        """Go through the phases before the pour, one after the other."""
        yield from self._draw_wax()
        yield from self._add_fragrance()
        yield from self._stir()
        yield from self._cool()

    # ------------------------------------------------------------ draw wax

    def _draw_wax(self) -> Motion:
        start_mishaps(self._shift, self._lot, DRAWING, self._share.pitcher)
        short = self._fault(FaultKind.WAX_SHORT)
        wanted_g = self._share.wax_g * (short.share if short else 1.0)
        self._say(f"draws wax: {wanted_g:.1f} g")
        yield from self._take_pitcher()
        base_g = yield from self._hands.base(tares=self._habits.tares_pitcher)
        for part, g_per_s in DRAWS:
            yield from self._hands.about(1.5, 2.5)
            yield from self._pour(wanted_g * part, g_per_s, self._bench.draw_wax)
        shown_g = yield from self._hands.weighed(GLANCE_S)
        rest_g = wanted_g - (shown_g - base_g) + self._slip(1.2, 0.6)
        yield from self._pour(rest_g, LAST_DRAW_G_PER_S, self._bench.draw_wax)
        shown_g = yield from self._hands.weighed()
        self._drawn_g = shown_g - base_g
        self._say(f"has drawn {self._drawn_g:.1f} g")
        if short:
            what = f"{self._drawn_g:.0f} g of wax drawn instead of {self._share.wax_g:.0f} g"
            self._shift.plant(self._lot, short.kind, what)

    def _take_pitcher(self) -> Motion:
        yield from self._hands.zero()
        self._bench.pitcher = self.pitcher
        yield from self._hands.stand(self.pitcher, PAN)

    # ------------------------------------------------------- add fragrance

    def _add_fragrance(self) -> Motion:
        skipped = self._fault(FaultKind.FRAGRANCE_SKIPPED)
        if skipped:
            self._shift.plant(self._lot, skipped.kind, "no fragrance is added")
            return
        yield from self._hands.about(9.0, 12.0)  # she wipes the ladle; the probe catches up
        yield from self._reach_add_window()
        wrong = self._fault(FaultKind.FRAGRANCE_TOO_LITTLE) or self._fault(
            FaultKind.FRAGRANCE_TOO_MUCH
        )
        wanted_g = self._card.fragrance_for(self._drawn_g)
        yield from self._weigh_fragrance(wanted_g * (wrong.share if wrong else 1.0))
        if wrong:
            what = f"{wrong.share:.0%} of the {wanted_g:.1f} g of fragrance"
            self._shift.plant(self._lot, wrong.kind, what)
        twice = self._fault(FaultKind.FRAGRANCE_TWICE)
        if twice:
            yield from self._hands.about(8.0, 12.0)
            yield from self._weigh_fragrance(wanted_g)
            self._shift.plant(self._lot, twice.kind, f"{wanted_g:.1f} g of fragrance go in twice")

    def _reach_add_window(self) -> Motion:
        window = self._card.add
        cool = self._fault(FaultKind.FRAGRANCE_TOO_COOL)
        warm = self._fault(FaultKind.FRAGRANCE_TOO_WARM)
        if warm:
            what = f"fragrance goes in at {self._now_degc():.1f} °C, above {window.high:.0f} °C"
            self._demand(self._now_degc() >= window.high + WRONG_K, "The pot is not hot enough")
            self._shift.plant(self._lot, warm.kind, what)
        elif cool:
            yield from self._cool_to(window.low - cool.kelvin)
            what = f"fragrance goes in at {self._now_degc():.1f} °C, below {window.low:.0f} °C"
            self._shift.plant(self._lot, cool.kind, what)
        else:
            yield from self._cool_to(window.high - MARGIN_K)
            self._demand(self._now_degc() >= window.low + MARGIN_K, "The pot is too cool")

    def _weigh_fragrance(self, wanted_g: float) -> Motion:
        base_g = yield from self._hands.base(tares=self._habits.tares_fragrance)
        self._say(f"adds fragrance: {wanted_g:.1f} g at {self._now_degc():.1f} °C")
        yield from self._pour(wanted_g * 0.85, FRAGRANCE_G_PER_S, self._bench.add_fragrance)
        shown_g = yield from self._hands.weighed(GLANCE_S)
        rest_g = wanted_g - (shown_g - base_g) + self._slip(0.0, 0.1)
        yield from self._pour(rest_g, LAST_FRAGRANCE_G_PER_S, self._bench.add_fragrance)
        shown_g = yield from self._hands.weighed()
        self._say(f"has added {shown_g - base_g:.1f} g")

    # ---------------------------------------------------------------- stir

    def _stir(self) -> Motion:
        skipped = self._fault(FaultKind.STIR_SKIPPED)
        if skipped:
            self._shift.plant(self._lot, skipped.kind, "the stir is skipped")
            return
        short = self._fault(FaultKind.STIR_CUT_SHORT)
        extra_s = 0.0 if short else self._hands.chance.uniform(6.0, 14.0)
        seconds = self._card.stir_s * (short.share if short else 1.0) + extra_s
        yield from self._hands.about(2.0, 4.0)
        yield from self._put(on_scale=self._habits.stirs_on_scale)
        self._say(f"stirs for {seconds:.0f} s")
        self._shift.mark(self._lot, "stir", "begin")
        self._bench.pan.stirring = self.pitcher.stand is PAN
        yield from self._hands.wait(seconds)
        self._bench.pan.stirring = False
        self._shift.mark(self._lot, "stir", "end")
        if short:
            what = f"the stir ends after {seconds:.0f} s of {self._card.stir_s:.0f} s"
            self._shift.plant(self._lot, short.kind, what)

    # ---------------------------------------------------------------- cool

    def _cool(self) -> Motion:
        window = self._card.pour
        yield from self._hands.about(2.0, 3.0)
        yield from self._put(on_scale=self._habits.cools_on_scale)
        start_mishaps(self._shift, self._lot, COOLING, self._share.pitcher)
        hot = self._fault(FaultKind.POUR_TOO_HOT)
        cold = self._fault(FaultKind.POUR_TOO_COLD)
        goal = window.high - MARGIN_K
        if hot:
            goal = window.high + hot.kelvin
        elif cold:
            goal = window.low - cold.kelvin
        self._say(f"lets it cool to {goal:.1f} °C")
        yield from self._cool_to(goal)
        self._demand(self._now_degc() > goal - MARGIN_K, "The pitcher is too cool for the pour")
        wrong = hot or cold
        if wrong:
            what = f"the pour begins at {self._now_degc():.1f} °C"
            self._shift.plant(self._lot, wrong.kind, what)

    # ------------------------------------------------------------ in common

    def _pour(self, grams: float, g_per_s: float, give: Callable[[float], None]) -> Motion:
        seconds = max(LEAST_POUR_S, grams / g_per_s)
        yield from self._hands.stream(max(0.0, grams), seconds, give)

    def _put(self, *, on_scale: bool) -> Motion:
        place = PAN if on_scale else BENCH
        if self.pitcher.stand is not place:
            yield from self._hands.stand(self.pitcher, place)

    def _cool_to(self, degc: float) -> Motion:
        def reached() -> bool:
            shown = self._bench.thermometer_degc
            return shown is not None and shown <= degc

        yield from self._hands.until(reached, PATIENCE_S)

    def _now_degc(self) -> float:
        shown = self._bench.thermometer_degc
        self._demand(shown is not None, "The pitcher's thermometer is unplugged when it is needed")
        return shown or 0.0

    def _fault(self, kind: FaultKind) -> Fault | None:
        return self._lot.plan.fault(kind, self._share.pitcher)

    def _slip(self, mean_g: float, sigma_g: float) -> float:
        """Return how far a careful hand is off, never more than two sigma."""
        slip = self._hands.chance.gauss(0.0, sigma_g)
        return mean_g + max(-2 * sigma_g, min(2 * sigma_g, slip))

    def _say(self, what: str) -> None:
        self._shift.say(f"pitcher {self._share.pitcher}: {what}")

    def _demand(self, holds: bool, problem: str) -> None:
        if not holds:
            raise ScenarioError(f"{problem} in lot {self._lot.id} ({self._card.name})")
