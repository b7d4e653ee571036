"""A maker who opens no lot herself: she pours what somebody opens on the page.

It is for a newcomer who tries the whole way from an empty workshop. What she cannot pour, a
recipe without windows for instance, she leaves alone, and the bench stays at rest.
"""

import time
from collections.abc import Callable

from simulators.hands import Motion
from simulators.maker import Maker
from simulators.physics.pot import Pot
from simulators.recipe_card import read_card
from simulators.scenario import LotPlan, PotPlan
from simulators.service import OpenedLot, ServiceError
from simulators.shift import OpenLot, Shift

FULL_POT = PotPlan(wax_g=8000.0, degc=86.0)
LEAST_POT_G = 4000.0
"""With less than that in it she takes a full pot before the next lot."""

VESSEL_G = 205.0
LOOK_EVERY_S = 1.0
"""Real seconds between two looks at the page."""


class WaitingMaker:
    """Pours each lot that is opened at her bench, once.

    `opened` gives the lot that is open there, if any, and may raise ServiceError. `day` is one
    motion without an end: call `next` on it once per step of the bench.
    """

    def __init__(self, maker: Maker, shift: Shift, opened: Callable[[], OpenedLot | None]) -> None:
        self._maker = maker
        self._shift = shift
        self._opened = opened
        self._seen: set[str] = set()
        self._look_s = time.monotonic()

    def day(self) -> Motion:
        """Wait for lots, and pour them."""
        while True:
            lot = self._next_lot()
            if lot is not None:
                yield from self._pour(lot)
            self._shift.trouble()
            yield

    def _next_lot(self) -> OpenLot | None:
        """Return a lot that was opened and can be poured."""
        if time.monotonic() < self._look_s:
            return None
        self._look_s = time.monotonic() + LOOK_EVERY_S
        try:
            found = self._opened()
        except ServiceError as error:
            self._shift.say(f"cannot see the page: {error}")
            return None
        if found is None or found.id in self._seen:
            return None
        self._seen.add(found.id)
        return self._planned(found)

    def _planned(self, found: OpenedLot) -> OpenLot | None:
        try:
            card = read_card(found.document)
        except (KeyError, ValueError) as error:
            self._shift.say(f"does not know how to pour lot {found.id}: {error!r}")
            return None
        return OpenLot(found.id, LotPlan(card, found.vessels, VESSEL_G))

    def _pour(self, lot: OpenLot) -> Motion:
        shift = self._shift
        if shift.bench.pot.wax_g < LEAST_POT_G:
            shift.bench.pot = Pot(FULL_POT.wax_g, FULL_POT.degc)
        shift.say(f"sees lot {lot.id}: {lot.plan.vessels} x {lot.plan.recipe.name}")
        try:
            for _ in self._maker.make(lot):
                shift.trouble()
                yield
        except (ServiceError, TimeoutError, ValueError) as error:
            shift.say(f"gives up lot {lot.id}: {error}")
            shift.clear_bench()
