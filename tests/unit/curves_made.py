"""Curves of a probe, reading by reading: (seconds, 0.001 °C) as sixteenths of a degree show them.

Wax that sets is an enthalpy balance: heat of fusion 200 J/g (encyclopedias: paraffin 200 to 220)
is given off over a degree, heat capacity 2.3 J/(g K) (between the 2.14 and 2.9 of the tables).
"""

import random
from collections.abc import Iterator

FUSION_J_PER_G = 200.0
WAX_J_PER_GK = 2.3
RANGE_K = 1.0


def shown(degc: float, noise: random.Random) -> int:
    return round((degc + noise.gauss(0, 0.02)) * 16) * 1000 // 16


def cooling_curve(
    rate_per_s: float, seconds: int, start: float = 84.0, room: float = 22.0
) -> Iterator[tuple[int, int]]:
    """Newton's law from `start` toward `room`, a reading a second."""
    noise, degc = random.Random(5), start  # noqa: S311 - simulated noise, no secret
    for second in range(seconds):
        yield second, shown(degc, noise)
        degc -= rate_per_s * (degc - room)


def steady_fall(seconds: int) -> Iterator[tuple[int, int]]:
    return cooling_curve(4e-4, seconds)


def setting_curve(setting_degc: float, seconds: int = 1700) -> Iterator[tuple[int, int]]:
    """Wax that sets between a degree above and the given temperature itself."""
    noise, degc = random.Random(6), 70.0  # noqa: S311 - simulated noise, no secret
    for second in range(seconds):
        yield second, shown(degc, noise)
        sets = setting_degc <= degc <= setting_degc + RANGE_K
        capacity = WAX_J_PER_GK + (FUSION_J_PER_G / RANGE_K if sets else 0.0)
        degc -= 5e-4 * (degc - 22.0) * WAX_J_PER_GK / capacity
