"""The physics of one bench: pot, pitcher, scale pan, room and their thermometers."""

import math

from simulators.noise import seeded
from simulators.physics.pan import Pan
from simulators.physics.pitcher import PAN, Pitcher
from simulators.physics.pot import Pot
from simulators.physics.probe import Probe

PITCHER_PROBE = "quay-pitcher"
POT_PROBE = "quay-pot"
ROOM_PROBE = "quay-room"
ROOM_SWING_K = 0.3
ROOM_PERIOD_S = 2400.0


class BenchModel:
    """One bench and what stands on it. `update` moves its time; nothing here reads a clock.

    `unplugged` holds the names of the instruments that a person has pulled out, or that fell out;
    `silent` of those that are plugged in and say nothing. `on_pan` holds the grams of whatever
    else stands on the pan, by name. `pouring` is true while something streams.
    """

    def __init__(
        self, pot: Pot, seed: int, room_degc: float = 22.0, resolution_g: float = 0.1
    ) -> None:
        noise = seeded(seed)
        self.time_s = 0.0
        self.mean_room_degc = room_degc
        self.pot = pot
        self.pitcher: Pitcher | None = None
        self.vessel_g: float | None = None
        self.on_pan: dict[str, float] = {}
        self.unplugged: set[str] = set()
        self.silent: set[str] = set()
        self.pouring = False
        self.pan = Pan(noise, resolution_g)
        self.probes = {
            PITCHER_PROBE: Probe(room_degc, noise),
            POT_PROBE: Probe(pot.temperature_degc, noise),
            ROOM_PROBE: Probe(room_degc, noise),
        }

    @property
    def room_degc(self) -> float:
        """The room's air, which swings slowly about its mean."""
        phase = 2.0 * math.pi * self.time_s / ROOM_PERIOD_S
        return self.mean_room_degc + ROOM_SWING_K * math.sin(phase)

    @property
    def load_g(self) -> float:
        """What stands on the pan, grams."""
        load = (self.vessel_g or 0.0) + sum(self.on_pan.values())
        if self.pitcher is not None and self.pitcher.stand is PAN:
            load += self.pitcher.mass_g
        return load

    @property
    def thermometer_degc(self) -> float | None:
        """What the pitcher's thermometer shows the maker; None while it is unplugged."""
        if PITCHER_PROBE in self.unplugged | self.silent:
            return None
        return self.probes[PITCHER_PROBE].temperature_degc

    def update(self, dt_s: float) -> None:
        """Let `dt_s` seconds pass."""
        self.time_s += dt_s
        room = self.room_degc
        self.pot.update(dt_s, room)
        if self.pitcher is not None:
            self.pitcher.update(dt_s, room)
        self.pan.update(dt_s, self.load_g)
        self.probes[PITCHER_PROBE].update(dt_s, self._around_pitcher_probe(room))
        self.probes[POT_PROBE].update(dt_s, self.pot.temperature_degc)
        self.probes[ROOM_PROBE].update(dt_s, room)

    def _around_pitcher_probe(self, room_degc: float) -> float:
        """Return what the pitcher's probe touches: wax, or the air where there is none."""
        if self.pitcher is None or not self.pitcher.contents_g:
            return room_degc
        return self.pitcher.temperature_degc

    # ------------------------------------------------ what hands do with it

    def draw_wax(self, grams: float) -> None:
        """Pour wax from the pot into the pitcher."""
        self.pot.draw(grams)
        self._the_pitcher().add_wax(grams, self.pot.temperature_degc)

    def return_wax(self, grams: float) -> None:
        """Put wax from the pitcher back into the pot."""
        self._the_pitcher().wax_g -= grams
        self.pot.wax_g += grams

    def add_fragrance(self, grams: float) -> None:
        """Pour fragrance from its bottle, which has room temperature, into the pitcher."""
        self._the_pitcher().add_fragrance(grams, self.room_degc)

    def lay_in(self, name: str, grams: float) -> None:
        """Put grams more into what stands on the pan under that name."""
        self.on_pan[name] += grams

    def pour_away(self, grams: float) -> float:
        """Pour from the pitcher into a vessel beside the scale; return what really came."""
        return self._the_pitcher().pour(grams)

    def fill_vessel(self, grams: float) -> float:
        """Pour from the pitcher into the vessel on the pan; return what really came."""
        if self.vessel_g is None:
            raise ValueError("No vessel stands on the pan; put one there before filling it")
        poured = self._the_pitcher().pour(grams)
        self.vessel_g += poured
        return poured

    def _the_pitcher(self) -> Pitcher:
        if self.pitcher is None:
            raise ValueError("No pitcher is in use; take one before pouring into or out of it")
        return self.pitcher
