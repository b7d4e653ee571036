"""Readings that came when their bench had gone on: how many in a row, and of which time."""

from dataclasses import dataclass

from collector.service_events import ReadingsCameLate

LAG_US = 3_000_000
"""How far the time of a bench stays behind the clock where its readings come over a network, so
that what is on its way is not late."""

AHEAD_US = 5_000_000
"""A reading that is further ahead of the clock cannot be judged: its bench would follow it."""

QUIET_US = 2_000_000
LONGEST_US = 60_000_000
"""A run is over when nothing came late for the first; after the second it is told anyway."""


@dataclass
class LateRun:
    """A run of late readings at one bench; times are UTC microseconds."""

    begun_us: int
    last_us: int
    count: int
    from_us: int
    to_us: int

    def is_over(self, now_us: int) -> bool:
        """Tell whether it is to be told: also where the clock was moved back meanwhile."""
        quiet_us, lasted_us = now_us - self.last_us, now_us - self.begun_us
        return not 0 <= quiet_us < QUIET_US or lasted_us >= LONGEST_US

    def told(self, bench: str, lot: str | None, at_us: int) -> ReadingsCameLate:
        """Return the event that tells it."""
        return ReadingsCameLate(
            at_us=at_us,
            bench=bench,
            lot=lot,
            count=self.count,
            from_us=self.from_us,
            to_us=self.to_us,
        )


class LateRuns:
    """The runs that are not told yet, by bench."""

    def __init__(self) -> None:
        self._runs: dict[str, LateRun] = {}

    def add(self, bench: str, taken_us: int, now_us: int) -> None:
        """Take note of a late reading that was not known."""
        run = self._runs.setdefault(bench, LateRun(now_us, now_us, 0, taken_us, taken_us))
        run.last_us, run.count = now_us, run.count + 1
        run.from_us, run.to_us = min(run.from_us, taken_us), max(run.to_us, taken_us)

    def over(self, now_us: int) -> list[str]:
        """Return the benches whose run is to be told."""
        return [bench for bench, run in self._runs.items() if run.is_over(now_us)]

    def take(self, bench: str) -> LateRun | None:
        """Return a bench's run and forget it."""
        return self._runs.pop(bench, None)
