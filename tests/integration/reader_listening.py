"""What the reader tests share: a sink to wait on, a hurried clock, and a scale on a pty."""

import os
import threading
import time
import tty
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

from collector.clock import US_PER_S
from collector.readers.link import LinkFailed, LinkOpened, Report, Sampled

PATIENCE_S = 10.0
"""Real seconds until a condition counts as never met; a loaded machine must not fail a test."""

AReport = TypeVar("AReport", LinkFailed, LinkOpened, Sampled)


class HurriedClock:
    """A clock that runs fast, so that nobody waits for periods and backoff."""

    speed = 50.0

    def __init__(self) -> None:
        self.began_us = time.time_ns() // 1000
        self._began_s = time.monotonic()

    def now_us(self) -> int:
        """UTC microseconds of a day that began now."""
        elapsed_s = (time.monotonic() - self._began_s) * self.speed
        return self.began_us + int(elapsed_s * US_PER_S)


class Listener:
    """A sink that keeps all reports and lets a test wait for what it expects."""

    def __init__(self) -> None:
        self.reports: list[Report] = []
        self._changed = threading.Condition()

    def __call__(self, report: Report) -> None:
        with self._changed:
            self.reports.append(report)
            self._changed.notify_all()

    def of(self, kind: type[AReport], instrument: str | None = None) -> list[AReport]:
        """Return the reports of one kind so far, of one instrument or of all."""
        return [
            report
            for report in list(self.reports)
            if isinstance(report, kind) and instrument in (None, report.instrument)
        ]

    def wait_until(self, condition: Callable[[], bool]) -> None:
        """Wait until a condition on the reports holds, or fail with what was reported."""
        with self._changed:
            met = self._changed.wait_for(condition, PATIENCE_S)
        assert met, f"not within {PATIENCE_S} s; reported: {self.reports[-10:]}"

    def wait_for(
        self, kind: type[AReport], instrument: str | None = None, count: int = 1
    ) -> AReport:
        """Wait for the given number of reports of a kind, and return that one."""
        self.wait_until(lambda: len(self.of(kind, instrument)) >= count)
        return self.of(kind, instrument)[count - 1]

    def values(self, instrument: str | None = None) -> list[int]:
        """Return the values of all samples so far."""
        return [report.sample.value for report in self.of(Sampled, instrument)]


class PtyScale:
    """A serial scale: a pseudo-terminal behind a symlink that keeps its name."""

    def __init__(self, link: Path) -> None:
        self.link = link
        self._ends: tuple[int, int] | None = None

    def plug(self) -> None:
        """Connect it: a new terminal, the same name."""
        master, slave = os.openpty()
        tty.setraw(slave)
        self.link.unlink(missing_ok=True)
        self.link.symlink_to(os.ttyname(slave))
        self._ends = (master, slave)

    def unplug(self) -> None:
        """Close both ends; the symlink dangles, as a by-id name does for a moment."""
        ends, self._ends = self._ends, None
        for end in ends or ():
            os.close(end)

    def send(self, data: bytes) -> None:
        """Put bytes on the wire."""
        assert self._ends is not None, "not plugged in"
        os.write(self._ends[0], data)

    def say_until(self, line: bytes, listener: Listener, count: int) -> None:
        """Repeat a line, as a scale does, until the listener has so many samples."""
        deadline = time.monotonic() + PATIENCE_S
        while len(listener.of(Sampled)) < count and time.monotonic() < deadline:
            self.send(line)
            time.sleep(0.01)
        listener.wait_for(Sampled, count=count)


def open_files() -> Sequence[str]:
    """Return what this process has open, to see that a port was closed."""
    entries = Path("/proc/self/fd").iterdir()
    return sorted(str(entry.readlink()) for entry in entries if entry.is_symlink())
