"""Tries one instrument for a moment and says in a sentence how it went: `pourkeep check`."""

import queue
import time
from collections.abc import Mapping
from decimal import Decimal

import msgspec

from collector.clock import Clock
from collector.config import InstrumentConfig
from collector.readers.assembly import readers_for
from collector.readers.link import LinkFailed, Reader, Report, Sampled
from collector.readings import Quality, Quantity, Sample

LISTEN_S = 1.0
"""How long to go on listening after the first reading, to tell the rate."""

_UNITS = {
    Quantity.MASS: ("g", 1000),
    Quantity.TEMPERATURE: ("°C", 1000),
    Quantity.HUMIDITY: ("%RH", 1000),
    Quantity.PRESSURE: ("Pa", 1),
}


class TrialResult(msgspec.Struct, frozen=True):
    """How one instrument did; `sentence` begins with its name."""

    name: str
    ok: bool
    sentence: str


class _Heard(msgspec.Struct, frozen=True):
    """What came from the instrument, and over how many real seconds since its first reading."""

    samples: tuple[Sample, ...]
    failure: LinkFailed | None
    seconds: float


def try_instrument(instrument: InstrumentConfig, clock: Clock, wait_s: float) -> TrialResult:
    """Open the instrument, listen to it for a moment, and close it again.

    Its first reading has `wait_s` real seconds to come, more follow for `LISTEN_S`.
    """
    readers = readers_for([instrument], clock)
    if not readers:
        return TrialResult(
            instrument.name, ok=True, sentence=f"{instrument.name}: typed in by hand"
        )
    reader = readers[0]
    reports: queue.SimpleQueue[Report] = queue.SimpleQueue()
    reader.start(reports.put)
    try:
        heard = _listen(reports, wait_s)
    finally:
        reader.stop()
    return _judged(instrument, heard, reader)


def _listen(reports: queue.SimpleQueue[Report], wait_s: float) -> _Heard:
    samples: list[Sample] = []
    started = time.monotonic()
    until = started + wait_s
    while (left_s := until - time.monotonic()) > 0:
        report = _next(reports, left_s)
        if isinstance(report, LinkFailed):
            return _Heard(tuple(samples), report, time.monotonic() - started)
        if isinstance(report, Sampled):
            if not samples:
                started = time.monotonic()
                until = started + LISTEN_S
            samples.append(report.sample)
    return _Heard(tuple(samples), None, time.monotonic() - started)


def _next(reports: queue.SimpleQueue[Report], wait_s: float) -> Report | None:
    try:
        return reports.get(timeout=wait_s)
    except queue.Empty:
        return None


def _judged(instrument: InstrumentConfig, heard: _Heard, reader: Reader) -> TrialResult:
    ok, words = _verdict(heard, reader.rejected(instrument.name))
    return TrialResult(instrument.name, ok, f"{instrument.name}: {words}")


def _verdict(heard: _Heard, rejected: Mapping[str, int]) -> tuple[bool, str]:
    if heard.failure is not None:
        return False, f"{heard.failure.reason}. {heard.failure.remedy}"
    if not heard.samples:
        return False, _nothing_read(heard.seconds, rejected)
    last = heard.samples[-1]
    if last.quality is Quality.BAD:
        return False, "it answers, but with no usable number. Look at its display and its cable"
    return True, f"{_shown(last)}, {_count(len(heard.samples))} in {heard.seconds:.0f} s"


def _nothing_read(seconds: float, rejected: Mapping[str, int]) -> str:
    if not rejected:
        return (
            f"connected, but silent for {seconds:.0f} s."
            " Switch it on, and set a scale to send continuously"
        )
    reasons = ", ".join(f"{reason} ({count})" for reason, count in sorted(rejected.items()))
    return (
        f"it speaks, but nothing it says is a reading: {reasons}."
        " Check the baud and format in the config, or a thermometer's wiring"
    )


def _shown(sample: Sample) -> str:
    """Write a sample with the decimals that it has."""
    unit, steps = _UNITS[sample.quantity]
    return f"{Decimal(sample.value) / steps:.3f}".rstrip("0").rstrip(".") + f" {unit}"


def _count(readings: int) -> str:
    return "1 reading" if readings == 1 else f"{readings} readings"
