"""A pouring pitcher: steel, the wax and fragrance in it, and how it cools."""

import math
from dataclasses import dataclass

from simulators.physics.heat import (
    FRAGRANCE_J_PER_GK,
    STEEL_J_PER_GK,
    WAX_J_PER_GK,
    SettingRange,
    convected,
    cooled,
    mixed,
)

WALL_FILM_G = 3.0
"""What never leaves the pitcher by pouring: the film on its wall."""


@dataclass(frozen=True)
class Stand:
    """What a pitcher stands on: how much more heat it takes, and its own temperature.

    `degc` is None where the room takes the heat, and a number for a plate or a water bath; `share`
    is how much of the exchange is with that, the rest being with the room.
    """

    name: str
    contact: float
    degc: float | None = None
    share: float = 1.0

    def around(self, room_degc: float) -> float:
        """Return the temperature that a pitcher standing here tends to, °C."""
        warmer_k = 0.0 if self.degc is None else self.degc - room_degc
        return room_degc + self.share * warmer_k


HAND = Stand("hand", contact=1.0)
BENCH = Stand("bench", contact=1.04)
PAN = Stand("pan", contact=1.06)


def warm_plate(degc: float) -> Stand:
    """Return a plate at `degc` that keeps a pitcher warm from below; the room is around the rest.

    A third of the exchange: about the share of the bottom in a pitcher's surface.
    """
    return Stand("warm plate", contact=1.2, degc=degc, share=0.33)


def water_bath(degc: float) -> Stand:
    """Return a bath at `degc`: water takes heat far better than air."""
    return Stand("water bath", contact=8.0, degc=degc)


class Pitcher:
    """One pitcher. `thinness` above 1 makes it lose heat faster than a usual one.

    `setting` is where its wax sets, None for wax that stays liquid; `convects` makes its loss
    grow with a power of the difference.
    """

    def __init__(
        self,
        steel_g: float,
        temperature_degc: float,
        thinness: float = 1.0,
        *,
        setting: SettingRange | None = None,
        convects: bool = False,
    ) -> None:
        self._setting = setting
        self._law = convected if convects else cooled
        self.steel_g = steel_g
        self.temperature_degc = temperature_degc
        self.thinness = thinness
        self.wax_g = 0.0
        self.fragrance_g = 0.0
        self.stand = BENCH

    @property
    def contents_g(self) -> float:
        """Wax and fragrance together, grams."""
        return self.wax_g + self.fragrance_g

    @property
    def pourable_g(self) -> float:
        """What can still be poured out, grams."""
        return max(0.0, self.contents_g - WALL_FILM_G)

    @property
    def mass_g(self) -> float:
        """What a scale under it carries, grams."""
        return self.steel_g + self.contents_g

    @property
    def heat_capacity_j_per_k(self) -> float:
        """Of steel and contents together."""
        contents = self.wax_g * WAX_J_PER_GK + self.fragrance_g * FRAGRANCE_J_PER_GK
        return self.steel_g * STEEL_J_PER_GK + contents

    @property
    def loss_w_per_k(self) -> float:
        """Conductance to the surroundings.

        The wetted area grows with the two-thirds power of the contents. The factors are set so
        that 700 to 1300 g take 15 to 30 minutes from 83 to 60 °C at 22 °C: common practice,
        no source.
        """
        wetted = math.pow(self.contents_g / 1000.0, 2.0 / 3.0)
        return (0.35 + 0.6 * wetted) * self.thinness * self.stand.contact

    def add_wax(self, grams: float, temperature_degc: float) -> None:
        """Take wax from the pot; both come to a common temperature at once."""
        self._mix(grams * WAX_J_PER_GK, temperature_degc)
        self.wax_g += grams

    def add_fragrance(self, grams: float, temperature_degc: float) -> None:
        """Take fragrance, which is at room temperature and chills the wax."""
        self._mix(grams * FRAGRANCE_J_PER_GK, temperature_degc)
        self.fragrance_g += grams

    def pour(self, grams: float) -> float:
        """Pour out up to `grams`; return what really came out."""
        out_g = min(grams, self.pourable_g)
        if out_g:
            kept = 1.0 - out_g / self.contents_g
            self.wax_g *= kept
            self.fragrance_g *= kept
        return out_g

    def update(self, dt_s: float, room_degc: float) -> None:
        """Let `dt_s` seconds pass in a room of `room_degc`."""
        surroundings = self.stand.around(room_degc)
        rate = self.loss_w_per_k / self.heat_capacity_j_per_k
        liquid_degc = self._law(self.temperature_degc, surroundings, rate, dt_s)
        if self._setting is None or not self.wax_g:
            self.temperature_degc = liquid_degc
            return
        capacity = self.heat_capacity_j_per_k / self.wax_g
        lost_j_per_g = (self.temperature_degc - liquid_degc) * capacity
        self.temperature_degc = self._setting.after_losing(
            self.temperature_degc, lost_j_per_g, capacity
        )

    def _mix(self, added_j_per_k: float, added_degc: float) -> None:
        here = (self.heat_capacity_j_per_k, self.temperature_degc)
        self.temperature_degc = mixed([here, (added_j_per_k, added_degc)])
