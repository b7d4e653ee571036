"""What has been kept since the start of the service, counted for whoever watches it."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable

from collector.events import AnyEvent
from collector.readings import Reading
from collector.service_events import ClockStepped

COMMIT_S = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
"""Upper ends of the classes of commits: from a good disk to one that hangs."""


class Tally:
    """Counts, all of them since the start."""

    def __init__(self) -> None:
        self.readings: Counter[str] = Counter()
        """Readings stored, by channel."""
        self.events: Counter[str] = Counter()
        """Events stored, by kind."""
        self.lost = 0
        """Readings that memory could not hold while the store refused."""
        self.refused = 0
        """Commits that the store refused."""
        self.commits = [0] * (len(COMMIT_S) + 1)
        """Commits by how long they took; the last class is open."""
        self.commits_s = 0.0
        """How long all of them took together, seconds."""
        self._last_s: float | None = None

    @property
    def stored(self) -> int:
        """Readings stored, all channels together."""
        return self.readings.total()

    @property
    def steps(self) -> int:
        """Steps of the clock stored."""
        return self.events[str(ClockStepped.__struct_config__.tag)]

    def kept(self, readings: Iterable[Reading], events: Iterable[AnyEvent]) -> None:
        """Count what a commit has stored."""
        self.readings.update(reading.channel for reading in readings)
        self.events.update(str(event.__struct_config__.tag) for event in events)

    def age_s(self, now_s: float) -> float | None:
        """Return how long ago the last commit ended, None before the first."""
        return None if self._last_s is None else now_s - self._last_s

    def took(self, began_s: float, now_s: float) -> None:
        """Count a commit by the event loop's time."""
        self._last_s, seconds = now_s, now_s - began_s
        self.commits[bisect_left(COMMIT_S, seconds)] += 1
        self.commits_s += seconds
