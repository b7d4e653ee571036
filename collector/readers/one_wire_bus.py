"""The thermometers of one 1-Wire bus, through the kernel's files, in one thread.

One thread per bus: the kernel serves one conversion at a time anyway.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path

from collector.clock import US_PER_S, Clock
from collector.errors import LinkError
from collector.readers.link import Pulse, Sink
from collector.readers.link_reports import LinkReports
from collector.readers.one_wire_probe import OneWireProbe, ProbeAddress
from collector.readers.reading_thread import ReadingThread

_SHORTEST_WAIT_S = 0.002  # a simulated day must not make the thread spin
_LONGEST_WAIT_S = 0.5  # a clock that was set, or a simulated one that stood still, is noticed


class OneWireBus:
    """Reads all the thermometers under one root, each in its own period of the clock."""

    def __init__(self, root: Path, addresses: Sequence[ProbeAddress], clock: Clock) -> None:
        self._root = root
        self._clock = clock
        self._probes = [OneWireProbe(address, root) for address in addresses]
        self._reports: dict[str, LinkReports] = {}
        self._thread = ReadingThread(str(root), self._round, self._stumbled)

    @property
    def names(self) -> tuple[str, ...]:
        """The instruments on this bus."""
        return tuple(probe.address.instrument for probe in self._probes)

    def start(self, sink: Sink) -> None:
        """Begin to read and report to `sink`."""
        self._reports = {name: LinkReports(name, self._clock, sink) for name in self.names}
        self._thread.start()

    def stop(self) -> None:
        """End the thread, after the conversion that is under way."""
        self._thread.stop()

    def pulse(self) -> Pulse:
        """Return how its thread does."""
        return self._thread.pulse()

    def rejected(self, name: str) -> Mapping[str, int]:
        """Return how many reads failed their checks, by reason. Raises KeyError if not here."""
        counts = {probe.address.instrument: probe.rejected for probe in self._probes}
        return dict(counts[name])  # a copy: the thread goes on counting

    def _round(self) -> None:
        for probe in self._probes:
            if self._thread.stopping:
                return
            self._thread.mark()
            if probe.due_in_us(self._clock.now_us()) <= 0:
                probe.plan(self._clock.now_us())
                self._read(probe)
        self._thread.wait(self._until_due_s())

    def _read(self, probe: OneWireProbe) -> None:
        reports = self._reports[probe.address.instrument]
        try:
            sample = probe.measure()
        except LinkError as error:
            reports.failed(error)
            return
        reports.opened()
        if sample is not None:
            # At delivery: the conversion began up to 0.9 s before, and nobody knows when.
            reports.sampled([sample], self._clock.now_us())

    def _until_due_s(self) -> float:
        now_us = self._clock.now_us()
        due_us = min(probe.due_in_us(now_us) for probe in self._probes)
        real_s = due_us / US_PER_S / self._clock.speed
        return min(max(real_s, _SHORTEST_WAIT_S), _LONGEST_WAIT_S)

    def _stumbled(self, error: Exception) -> None:
        for reports in self._reports.values():
            reports.stumbled(error)
