"""A maker's pour day: lot after lot, as a generator that yields once per simulated step."""

from collections.abc import Generator

from simulators.diary import Moment
from simulators.filling import Filling
from simulators.hands import Motion
from simulators.layout import BENCH
from simulators.physics.pot import Pot
from simulators.pitcher_round import PitcherRound
from simulators.scenario import LotPlan, PotPlan, Scenario
from simulators.service import ConflictError, LotGoneError
from simulators.shift import OpenLot, Shift

NEW_POT_S = 45.0  # until the pot's probe has caught up
EVENING_S = 5.0
BUSY_S = 30.0  # between two looks whether somebody else's lot is off the bench


class Maker:
    """Works through a scenario's lots.

    `day` is one motion: call `next` on it once per step of the bench. It may raise
    ScenarioError, TimeoutError or ServiceError.
    """

    def __init__(self, scenario: Scenario, shift: Shift) -> None:
        self._scenario = scenario
        self._shift = shift

    def day(self) -> Motion:
        """Hand over the recipes, make all lots, and let the evening come."""
        for _ in self._work():
            self._shift.trouble()
            yield

    def _work(self) -> Motion:
        hands = self._shift.hands
        for card in self._scenario.recipes:
            self._shift.service.keep_recipe(card.document)
        yield from hands.wait(self._scenario.settle_s)
        for plan in self._scenario.lots:
            yield from self._lot(plan)
            yield from hands.about(12.0, 20.0)
        yield from hands.wait(EVENING_S)

    def _lot(self, plan: LotPlan) -> Motion:
        shift = self._shift
        if plan.pot:
            yield from self._change_pot(plan.pot)
        lot = yield from self._opened(plan)
        shift.say(f"opens lot {lot.id}: {plan.vessels} x {plan.recipe.name}")
        try:
            yield from self.make(lot)
        except LotGoneError:  # who watches the day may close it on the page
            shift.say(f"lets go of lot {lot.id}: somebody closed it")
            shift.clear_bench()

    def _opened(self, plan: LotPlan) -> Generator[None, None, OpenLot]:
        """Open a lot, as soon as the bench is free."""
        shift = self._shift
        waits = False
        while True:
            try:
                lot = shift.service.open_lot(plan.recipe.name, plan.vessels, BENCH)
            except ConflictError as refusal:
                if not waits:
                    shift.say(f"waits until the bench is free: {refusal}")
                waits = True
                yield from shift.hands.wait(BUSY_S)
            else:
                return OpenLot(lot, plan)

    def make(self, lot: OpenLot) -> Motion:
        """Make a lot that is open, and close it."""
        shift = self._shift
        yield from shift.hands.about(4.0, 8.0)
        yield from self._pitchers(lot)
        while shift.troubles:
            yield
        yield from shift.hands.about(4.0, 6.0)
        shift.service.close_lot(lot.id)
        shift.diary.show(Moment.CLOSE, shift.bench.time_s)
        shift.diary.closed_s = shift.bench.time_s
        shift.say(f"closes lot {lot.id}")
        yield from self._put_away()

    def _pitchers(self, lot: OpenLot) -> Motion:
        filling = Filling(self._shift, lot)
        for share in self._shift.service.pitchers(lot.id):
            yield from self._put_away()
            pitcher_round = PitcherRound(self._shift, lot, share)
            yield from pitcher_round.prepare()
            yield from filling.fill(pitcher_round.job)

    def _put_away(self) -> Motion:
        """Take the pitcher of before away, probe and all."""
        if self._shift.bench.pitcher is not None:
            yield from self._shift.hands.about(2.0, 4.0)
            self._shift.bench.pitcher = None

    def _change_pot(self, plan: PotPlan) -> Motion:
        self._shift.say(f"changes the pot: {plan.wax_g:.0f} g at {plan.degc:.0f} °C")
        self._shift.bench.pot = Pot(plan.wax_g, plan.degc)
        yield from self._shift.hands.wait(NEW_POT_S)
