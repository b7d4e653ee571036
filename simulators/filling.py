"""Filling the vessels of one pitcher on the scale."""

from simulators.faults import FaultKind
from simulators.hands import Motion
from simulators.physics.pitcher import HAND, Pitcher
from simulators.shift import OpenLot, Shift

VESSEL_SPREAD_G = 3.0
FILL_SPREAD_G = 0.8
SPILL_G = 0.05
CAREFUL_SWAP_S = (2.6, 4.6)  # a vessel of hot wax is carried to its tray
QUICK_SWAP_S = (0.3, 0.9)  # the next one is in the other hand


class Filling:
    """Fills vessels of one lot, pitcher by pitcher.

    `filled` counts the vessels really filled: that is how the service numbers them.
    """

    def __init__(self, shift: Shift, lot: OpenLot) -> None:
        self._shift = shift
        self._hands = shift.hands
        self._bench = shift.bench
        self._lot = lot
        self._position = 0
        self.filled = 0

    def fill(self, pitcher: Pitcher, vessels: int) -> Motion:
        """Lift the pitcher and fill the next `vessels` vessels from it."""
        pitcher.stand = HAND
        yield from self._hands.about(1.5, 2.5)
        if not self._lot.plan.habits.tares_vessels:
            yield from self._hands.zero()
        for _ in range(vessels):
            self._position += 1
            if self._lot.plan.vessel_fault(FaultKind.VESSEL_SKIPPED, self._position):
                what = f"vessel {self._position} of {self._lot.plan.vessels} is forgotten"
                self._shift.plant(self._lot, FaultKind.VESSEL_SKIPPED, what)
            else:
                yield from self._fill_one()

    def _fill_one(self) -> Motion:
        spread = self._hands.chance.uniform(-VESSEL_SPREAD_G, VESSEL_SPREAD_G)
        yield from self._hands.put_vessel(self._lot.plan.vessel_g + spread)
        if self._lot.plan.habits.tares_vessels:
            yield from self._hands.tare()
        else:
            yield from self._hands.about(2.2, 3.2)
        self.filled += 1
        off_g = self._planned_error_g()
        aim_g = self._lot.plan.recipe.fill_g + off_g + self._slip_g()
        empty_g = self._bench.vessel_g or 0.0
        seconds = self._hands.chance.uniform(5.0, 9.0)
        yield from self._hands.stream(aim_g, seconds, self._bench.fill_vessel)
        yield from self._hands.about(2.2, 3.6)
        self._note((self._bench.vessel_g or 0.0) - empty_g, aim_g)
        yield from self._hands.take_vessel()
        away_s = QUICK_SWAP_S if self._lot.plan.habits.swaps_quickly else CAREFUL_SWAP_S
        yield from self._hands.about(*away_s)

    def _slip_g(self) -> float:
        slip = self._hands.chance.gauss(0.0, FILL_SPREAD_G / 2)
        return max(-FILL_SPREAD_G, min(FILL_SPREAD_G, slip))

    def _planned_error_g(self) -> float:
        light = self._lot.plan.vessel_fault(FaultKind.VESSEL_LIGHT, self._position)
        heavy = self._lot.plan.vessel_fault(FaultKind.VESSEL_HEAVY, self._position)
        return (heavy.grams if heavy else 0.0) - (light.grams if light else 0.0)

    def _note(self, poured_g: float, aim_g: float) -> None:
        """Plant what is really off: meant so, or because the pitcher ran out."""
        card = self._lot.plan.recipe
        self._shift.say(f"vessel {self.filled}: {poured_g:.1f} g")
        error_g = poured_g - card.fill_g
        if abs(error_g) <= card.fill_tolerance_g:
            return
        kind = FaultKind.VESSEL_LIGHT if error_g < 0 else FaultKind.VESSEL_HEAVY
        why = "; the pitcher ran out" if poured_g < aim_g - SPILL_G else ""
        what = f"vessel {self.filled} gets {poured_g:.1f} g of {card.fill_g:.0f} g{why}"
        self._shift.plant(self._lot, kind, what, self.filled)
