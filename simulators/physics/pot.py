"""A pot of molten wax on a hot plate that hunts around its set point."""

from simulators.physics.heat import WAX_J_PER_GK

HEATER_W = 900.0
PLATE_J_PER_K = 150.0  # the plate goes on heating for a while after it is switched off
PLATE_TO_POT_W_PER_K = 20.0
LOSS_W_PER_K = 2.5
OPEN_LOSS_W_PER_K = 16.0  # lid off and lifted from the plate
HYSTERESIS_K = 0.4


class Pot:
    """One pot. It starts at its set point.

    `heater_stuck` is the fault of a thermostat that no longer switches off, which pulling the
    plug ends: `plugged_in`. `lifted` is the pot off its plate and open, which cools it fast.
    """

    def __init__(self, wax_g: float, set_point_degc: float) -> None:
        self.wax_g = wax_g
        self.set_point_degc = set_point_degc
        self.temperature_degc = set_point_degc
        self.plate_degc = set_point_degc
        self.heating = False
        self.heater_stuck = False
        self.plugged_in = True
        self.lifted = False

    def draw(self, grams: float) -> None:
        """Take wax out. Raises ValueError where the pot does not hold that much."""
        if grams > self.wax_g:
            raise ValueError(f"The pot holds {self.wax_g:.0f} g; {grams:.0f} g cannot be drawn")
        self.wax_g -= grams

    def update(self, dt_s: float, room_degc: float) -> None:
        """Let `dt_s` seconds pass; steps of up to 1 s keep the plate's equation stable."""
        self._switch()
        contact = 0.0 if self.lifted else PLATE_TO_POT_W_PER_K
        to_pot_w = contact * (self.plate_degc - self.temperature_degc)
        heater_w = HEATER_W if self.heating else 0.0
        loss = OPEN_LOSS_W_PER_K if self.lifted else LOSS_W_PER_K
        lost_w = loss * (self.temperature_degc - room_degc)
        plate_lost_w = 1.0 * (self.plate_degc - room_degc) if self.lifted else 0.0
        self.plate_degc += (heater_w - to_pot_w - plate_lost_w) * dt_s / PLATE_J_PER_K
        self.temperature_degc += (to_pot_w - lost_w) * dt_s / (self.wax_g * WAX_J_PER_GK)

    def _switch(self) -> None:
        if self.lifted or not self.plugged_in:
            self.heating = False
        elif self.heater_stuck:
            self.heating = True
        elif self.temperature_degc > self.set_point_degc + HYSTERESIS_K:
            self.heating = False
        elif self.temperature_degc < self.set_point_degc - HYSTERESIS_K:
            self.heating = True
