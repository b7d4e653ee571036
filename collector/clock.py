"""Where time comes from: the system's clock, or a simulated day's.

Only the edges of the program hold a clock; the pure modules get their time with each input.
"""

import mmap
import time
from pathlib import Path
from typing import Protocol

US_PER_S = 1_000_000


class Clock(Protocol):
    """Wall time in UTC microseconds, and how fast it runs."""

    @property
    def speed(self) -> float:
        """Clock seconds per real second."""
        ...

    def now_us(self) -> int:
        """UTC, microseconds since 1970."""
        ...


class SystemClock:
    """The machine's own clock."""

    speed = 1.0

    def now_us(self) -> int:
        """UTC, microseconds since 1970."""
        return time.time_ns() // 1000


class FollowedClock:
    """The clock of a simulated day, read from the file that its simulator keeps.

    The file holds one little-endian signed 64-bit integer: UTC in microseconds. A simulator
    that falls behind slows its day, so both sides always agree on the time.
    """

    def __init__(self, path: Path, speed: float) -> None:
        self.speed = speed
        with path.open("rb") as file:
            self._memory = mmap.mmap(file.fileno(), 8, access=mmap.ACCESS_READ)

    def now_us(self) -> int:
        """UTC, microseconds since 1970."""
        # One slice is one copy: unpacking byte by byte could meet a write in the middle.
        return int.from_bytes(self._memory[:8], "little", signed=True)
