"""The reports of one instrument's link: each reason told once, then quiet until it works."""

from collector.clock import Clock
from collector.errors import LinkError
from collector.readers.link import LinkFailed, LinkOpened, Sampled, Sink
from collector.readings import Sample


class LinkReports:
    """Reports to `sink` for one instrument, with the clock's time at each call."""

    def __init__(self, instrument: str, clock: Clock, sink: Sink) -> None:
        self._instrument = instrument
        self._clock = clock
        self._sink = sink
        self._told: set[str] = set()
        self._open = False

    def opened(self) -> None:
        """Report that the link works, unless that was the last that was said."""
        if not self._open:
            self._sink(LinkOpened(self._instrument, self._clock.now_us()))
        self._open = True
        self._told.clear()

    def failed(self, error: LinkError) -> None:
        """Report why the link fails, once for each reason until it opens again."""
        self._open = False
        if error.reason in self._told:
            return
        self._told.add(error.reason)
        at_us = self._clock.now_us()
        self._sink(LinkFailed(self._instrument, at_us, error.reason, error.remedy))

    def stumbled(self, error: Exception) -> None:
        """Report an error that nobody foresaw."""
        name = type(error).__name__
        self.failed(
            LinkError(
                f"Reading {self._instrument} ran into a defect of this program ({name}: {error})",
                "It goes on by itself; please report the lines around it in the service's log",
            )
        )

    def sampled(self, samples: list[Sample], taken_us: int) -> None:
        """Report samples of bytes that arrived at `taken_us`, UTC microseconds."""
        for sample in samples:
            self._sink(Sampled(self._instrument, taken_us, sample))
