"""Coolings drawn at random: physics of the tests' own, for the forecasts to be held against.

Loss goes with the difference to the power of 1 to 1.25 (free convection, heat-transfer handbooks),
the room swings, the pitcher is put elsewhere, fragrance chills the wax, the probe lags, trembles
and counts sixteenths of a degree. °C and seconds. All ranges are assumed.
"""

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, field

STEP_S = 0.5
STEPS_PER_K = 16
EVERY_S = (1.0, 1.0, 2.0)
SHORTEST_S = 180.0


@dataclass
class Probe:
    """A thermometer that follows what it touches."""

    degc: float
    lag_s: float
    noise_k: float

    def follow(self, around: float, dt_s: float) -> None:
        self.degc += (around - self.degc) * -math.expm1(-dt_s / self.lag_s)

    def shown(self, noise: random.Random) -> int:
        """The display in 0.001 °C."""
        return round((self.degc + noise.gauss(0, self.noise_k)) * STEPS_PER_K) * 1000 // STEPS_PER_K


@dataclass
class CoolingDrawn:
    """One cooling: what its probes showed, and when the noise-free one passed the target."""

    target_mdegc: int
    began_s: float = 0.0
    passed_s: float = 0.0
    shown: list[tuple[float, int]] = field(default_factory=list)
    room: list[tuple[float, int]] = field(default_factory=list)

    @property
    def half_way_s(self) -> float:
        return (self.began_s + self.passed_s) / 2


class World:
    """A pitcher in a room, all drawn from one seed."""

    def __init__(self, seed: int) -> None:
        self.noise = random.Random(seed)  # noqa: S311 - simulated noise, no secret
        draw = self.noise.uniform
        self.room_mean = draw(16, 30)
        self.swing_k, self.period_s, self.phase = draw(0, 0.8), draw(1200, 3600), draw(0, 6.28)
        self.exponent = draw(1.0, 1.25)
        self.rate_per_s = math.exp(draw(math.log(2e-4), math.log(9e-4)))  # at a difference of 60 K
        self.degc = draw(76, 92)
        self.probe = Probe(self.degc, draw(2, 15), draw(0.005, 0.04))
        self.room_probe = Probe(self.room_mean, 15, 0.02) if self.noise.random() < 0.5 else None
        self.every_s = self.noise.choice(EVERY_S)
        self.chill_from_s, self.chill_k = math.inf, 0.0
        if self.noise.random() < 0.4:
            self.chill_from_s, self.chill_k = draw(60, 500), draw(0.6, 3.0)
        self.chill_s = draw(3, 30)
        self.moves = [
            (draw(0, 2400), draw(0.94, 1.06)) for _ in range(self.noise.choice((0, 1, 2)))
        ]
        self.fall_k = draw(2, 28)

    def room(self, s: float) -> float:
        return self.room_mean + self.swing_k * math.sin(
            s / self.period_s * 2 * math.pi + self.phase
        )

    def step(self, s: float) -> None:
        loss = math.prod(factor for at_s, factor in self.moves if at_s <= s)
        apart = self.degc - self.room(s)
        self.degc -= self.rate_per_s * 60 * (apart / 60) ** self.exponent * loss * STEP_S
        if self.chill_from_s <= s < self.chill_from_s + self.chill_s:
            self.degc -= self.chill_k / self.chill_s * STEP_S
        self.probe.follow(self.degc, STEP_S)
        if self.room_probe is not None:
            self.room_probe.follow(self.room(s), STEP_S)


def draw_cooling(seed: int) -> CoolingDrawn | None:
    """Play one cooling; None where it is over within three minutes."""
    world = World(seed)
    chilled = world.chill_from_s < math.inf
    began_s = world.chill_from_s + world.chill_s if chilled else 0.0
    drawn = CoolingDrawn(0, began_s)
    s = due_s = 0.0
    while True:
        s += STEP_S
        world.step(s)
        if drawn.target_mdegc == 0 and s >= began_s:
            floor = max(world.room_mean + 10, world.degc - world.fall_k)
            drawn.target_mdegc = round(floor * 1000)
        if drawn.target_mdegc and world.probe.degc * 1000 <= drawn.target_mdegc:
            break
        if s >= due_s:
            due_s += world.every_s
            drawn.shown.append((s, world.probe.shown(world.noise)))
            if world.room_probe is not None:
                drawn.room.append((s, world.room_probe.shown(world.noise)))
    drawn.passed_s = s
    return drawn if drawn.passed_s - began_s >= SHORTEST_S else None


def coolings(first_seed: int, many: int) -> Iterator[CoolingDrawn]:
    """Yield so many coolings of three minutes and more."""
    seed = first_seed
    while many:
        drawn = draw_cooling(seed)
        seed += 1
        if drawn is not None:
            many -= 1
            yield drawn
