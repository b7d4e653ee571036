"""Where time comes from: the system's clock, or a simulated day's.

Only the edges of the program hold a clock; the pure modules get their time with each input.
"""

import mmap
import time
from collections.abc import Callable
from pathlib import Path
from typing import Protocol, runtime_checkable

US_PER_S = 1_000_000

_TIMESYNC = Path("/run/systemd/timesync")


class Clock(Protocol):
    """Wall time in UTC microseconds, and how fast it runs."""

    @property
    def speed(self) -> float:
        """Clock seconds per real second."""
        ...

    def now_us(self) -> int:
        """UTC, microseconds since 1970."""
        ...


@runtime_checkable
class CorrectableClock(Clock, Protocol):
    """A clock that goes steadily and can be told that it is wrong."""

    def off_us(self) -> int:
        """How much later than this clock the machine's wall clock is, microseconds."""
        ...

    def adopt(self, by_us: int) -> None:
        """Move this clock's time by so much."""
        ...


def _wall_us() -> int:
    return time.time_ns() // 1000


def _since_boot_us() -> int:
    # Unlike CLOCK_MONOTONIC it goes on while the machine sleeps, see clock_gettime(2).
    return time.clock_gettime_ns(time.CLOCK_BOOTTIME) // 1000


class SystemClock:
    """The machine's wall clock as it was when this was made, and the time since then.

    A step of the wall clock does not move it, so that every duration is true; `off_us` tells of
    the step and `adopt` follows it. The two sources give microseconds, UTC and since the start
    of the machine.
    """

    speed = 1.0

    def __init__(
        self,
        wall_us: Callable[[], int] = _wall_us,
        since_boot_us: Callable[[], int] = _since_boot_us,
    ) -> None:
        self._wall_us = wall_us
        self._since_boot_us = since_boot_us
        self._boot_us = wall_us() - since_boot_us()

    def now_us(self) -> int:
        """UTC, microseconds since 1970."""
        return self._boot_us + self._since_boot_us()

    def off_us(self) -> int:
        """How much later the machine's wall clock is, microseconds."""
        return self._wall_us() - self.now_us()

    def adopt(self, by_us: int) -> None:
        """Move this clock's time by so much."""
        self._boot_us += by_us


def synchronized(folder: Path = _TIMESYNC) -> bool | None:
    """Tell whether the system's clock was set from the network; None where nobody says.

    systemd-timesyncd leaves a file once it has done so, see systemd-timesyncd.service(8).
    """
    if not folder.is_dir():
        return None
    return (folder / "synchronized").exists()


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
