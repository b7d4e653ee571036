"""A thermometer probe: slow, coarse and a little noisy."""

from random import Random

from simulators.physics.heat import cooled

STEPS_PER_K = 16
"""12-bit 1-Wire thermometers count sixteenths of a degree."""


class Probe:
    """One probe that follows its surroundings with a first-order lag.

    `shown_degc` is its latest reading: all that anybody can see of it, until the next one.
    """

    def __init__(
        self, temperature_degc: float, noise: Random, lag_s: float = 6.0, noise_k: float = 0.02
    ) -> None:
        self.temperature_degc = temperature_degc
        self._noise = noise
        self.lag_s = lag_s
        self.noise_k = noise_k
        self.shown_degc = temperature_degc

    def update(self, dt_s: float, surroundings_degc: float) -> None:
        """Let `dt_s` seconds pass in surroundings of `surroundings_degc`."""
        self.temperature_degc = cooled(
            self.temperature_degc, surroundings_degc, 1.0 / self.lag_s, dt_s
        )

    def reading(self) -> int:
        """Return what it says now, in sixteenths of a degree Celsius, with its noise."""
        noisy = self.temperature_degc + self._noise.gauss(0.0, self.noise_k)
        sixteenths = round(noisy * STEPS_PER_K)
        self.shown_degc = sixteenths / STEPS_PER_K
        return sixteenths
