"""The pan of a scale: it swings when its load changes, trembles, and shows a rounded mass."""

import math
from collections import deque
from dataclasses import dataclass
from random import Random

DECAY_PER_S = 10.0  # within 2 % after 0.4 s
SWING_PER_S = 13.0  # angular frequency of the damped swing
TREMBLE_G = 0.1
STROKE_G = 14.0
STROKES_PER_S = 0.85  # about 50 a minute
STEADY_BAND_G = 0.35  # of the shown masses; with the tremble of a quiet pan well inside
STEADY_S = 0.6
STEADY_COUNT = 4  # shown masses that must agree: those of 0.6 s at five a second


@dataclass(frozen=True)
class Display:
    """What the scale says: net grams, and what it thinks of them."""

    grams: float
    stable: bool
    overload: bool
    tared: bool
    resolution_g: float


class Pan:
    """One scale. The load and any disturbance come in from outside; it shows what it makes of them.

    `hand_g` is a hand that leans on it, `stirring` a pitcher that is being stirred on it with
    strokes of `stroke_g`. It trembles by at most `tremble_g` and drifts by `drift_g_per_h`.
    """

    def __init__(
        self, noise: Random, resolution_g: float = 0.1, capacity_g: float = 6000.0
    ) -> None:
        self.resolution_g = resolution_g
        self.capacity_g = capacity_g
        self.hand_g = 0.0
        self.stirring = False
        self.stroke_g = STROKE_G
        self.tremble_g = TREMBLE_G
        self.drift_g_per_h = 0.0
        self.tare_g = 0.0
        self._noise = noise
        self._time_s = 0.0
        self._load_g = 0.0
        self._swing_g = 0.0  # deflection from the load
        self._speed_g_per_s = 0.0
        self._shown: deque[float] = deque(maxlen=STEADY_COUNT)
        self.display = Display(0.0, stable=True, overload=False, tared=False, resolution_g=0.1)

    def update(self, dt_s: float, load_g: float) -> None:
        """Let `dt_s` seconds pass under a load of `load_g`; the damped swing is solved exactly."""
        self._time_s += dt_s
        pushed_g = load_g + self.hand_g
        self._swing_g += self._load_g - pushed_g
        self._load_g = pushed_g
        if self._swing_g or self._speed_g_per_s:
            self._ring(dt_s)

    def tare(self) -> None:
        """Press the key: what is shown becomes zero."""
        self.tare_g += self.display.grams
        self._shown.clear()

    def show_every(self, seconds: float) -> None:
        """Say how often it shows a mass: it looks for `STEADY_S` whether that is steady."""
        self._shown = deque(maxlen=max(2, 1 + round(STEADY_S / seconds)))

    def show(self) -> Display:
        """Take a new measurement, as the scale does some times a second, and show it."""
        drift_g = self.drift_g_per_h * self._time_s / 3600.0
        gross_g = self._load_g + self._swing_g + self._unrest_g() + drift_g
        net_g = round((gross_g - self.tare_g) / self.resolution_g) * self.resolution_g
        self._shown.append(net_g)
        self.display = Display(
            grams=net_g + 0.0,  # no minus zero on a display
            stable=self._steady(),
            overload=gross_g > self.capacity_g,
            tared=abs(self.tare_g) >= self.resolution_g / 2,
            resolution_g=self.resolution_g,
        )
        return self.display

    def _ring(self, dt_s: float) -> None:
        decay = math.exp(-DECAY_PER_S * dt_s)
        cosine = math.cos(SWING_PER_S * dt_s)
        sine = math.sin(SWING_PER_S * dt_s)
        x, v = self._swing_g, self._speed_g_per_s
        b = (v + DECAY_PER_S * x) / SWING_PER_S
        self._swing_g = decay * (x * cosine + b * sine)
        self._speed_g_per_s = decay * (
            SWING_PER_S * (b * cosine - x * sine) - DECAY_PER_S * (x * cosine + b * sine)
        )
        if abs(self._swing_g) + abs(self._speed_g_per_s) < 1e-6:
            self._swing_g = self._speed_g_per_s = 0.0

    def _unrest_g(self) -> float:
        most = self.tremble_g
        tremble = max(-most, min(most, self._noise.gauss(0.0, most / 3)))
        if not self.stirring:
            return tremble
        turn = 2.0 * math.pi * STROKES_PER_S * self._time_s
        share = self.stroke_g / STROKE_G
        return tremble + self.stroke_g * math.sin(turn) + share * self._noise.gauss(6.0, 3.0)

    def _steady(self) -> bool:
        full = len(self._shown) == self._shown.maxlen
        band_g = max(STEADY_BAND_G, 1.5 * self.resolution_g)
        return full and max(self._shown) - min(self._shown) <= band_g
