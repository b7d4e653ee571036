"""A reader that opens its port, reads it, and opens it again when it fails."""

from collections.abc import Mapping
from typing import Protocol

from collector.clock import Clock
from collector.errors import LinkError
from collector.instruments.decoding import Decoder
from collector.readers.link import Pulse, Sink
from collector.readers.link_reports import LinkReports
from collector.readers.reading_thread import ReadingThread

FIRST_WAIT_S = 0.5
LAST_WAIT_S = 5.0
"""Waits between attempts double from the first to the last: a plug pushed back in is found at
once, and a scale that stays away for a day costs nothing."""


class Port(Protocol):
    """Where the bytes of one instrument come from. Used from one thread only."""

    def open(self) -> None:
        """Open it. Raises LinkError."""
        ...

    def read(self) -> bytes:
        """Return what has arrived, waiting at most 0.2 s; empty if nothing. Raises LinkError."""
        ...

    def close(self) -> None:
        """Close it, whatever state it is in. Never raises."""
        ...


class SupervisedReader:
    """Reads one instrument behind one port."""

    def __init__(self, name: str, port: Port, decoder: Decoder, clock: Clock) -> None:
        self._name = name
        self._port = port
        self._decoder = decoder
        self._clock = clock
        self._wait_s = FIRST_WAIT_S
        self._reports = LinkReports(name, clock, _unheard)
        self._thread = ReadingThread(name, self._attempt, self._stumbled)

    @property
    def names(self) -> tuple[str, ...]:
        """The one instrument that it reads."""
        return (self._name,)

    def start(self, sink: Sink) -> None:
        """Begin to read and report to `sink`."""
        self._reports = LinkReports(self._name, self._clock, sink)
        self._thread.start()

    def stop(self) -> None:
        """End the thread; it closes the port."""
        self._thread.stop()

    def pulse(self) -> Pulse:
        """Return how its thread does."""
        return self._thread.pulse()

    def rejected(self, name: str) -> Mapping[str, int]:
        """Return how many messages were no sample, by reason. Raises KeyError for another name."""
        if name != self._name:
            raise KeyError(name)
        return dict(self._decoder.rejected)  # a copy: the thread goes on counting

    def _attempt(self) -> None:
        try:
            self._port.open()
            self._reports.opened()
            self._collect()
        except LinkError as error:
            self._reports.failed(error)
        finally:
            # At once: the kernel gives a replugged adapter a new name while the dead port is open.
            self._port.close()
        self._thread.wait(self._wait_s / self._clock.speed)
        self._wait_s = min(2 * self._wait_s, LAST_WAIT_S)

    def _collect(self) -> None:
        self._decoder.reset()
        while not self._thread.stopping:
            self._thread.mark()
            data = self._port.read()
            if not data:
                self._decoder.quiet()
                continue
            taken_us = self._clock.now_us()
            self._reports.sampled(self._decoder.feed(data), taken_us)
            self._wait_s = FIRST_WAIT_S

    def _stumbled(self, error: Exception) -> None:
        self._reports.stumbled(error)


def _unheard(_report: object) -> None:
    """Take the reports of a reader that was never started: there are none."""
