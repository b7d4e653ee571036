"""What every decoder does: bytes in, samples out, and a count of what was no sample.

A decoder never raises on what comes over the wire. A message is either a sample (an overload is
one too, of quality BAD) or it is rejected for a named reason and counted.
"""

from collections import Counter
from enum import StrEnum
from typing import Protocol

from collector.readings import Sample


class Rejection(StrEnum):
    """Why a message is no sample. The text is what a person reads beside the count."""

    OVERLONG = "line too long"
    NOT_A_WEIGHING = "not a weighing"
    AMBIGUOUS_COMMA = "comma could be decimal or thousands"
    UNKNOWN_UNIT = "unknown unit of mass"
    AMBIGUOUS_UNIT = "unit without one agreed mass"
    OUT_OF_RANGE = "outside what the instrument can measure"
    TARE = "a tare, not the load"
    REFUSED_COMMAND = "scale refused a command"
    SHORT_REPORT = "report too short"
    OTHER_REPORT = "not a data report"
    UNKNOWN_LAYOUT = "data report with unknown fields"
    UNKNOWN_STATUS = "unknown status"
    EMPTY = "empty answer"
    MALFORMED = "malformed answer"
    CHECKSUM = "failed checksum"
    STALE = "values of an earlier conversion"
    DEAD_LINE = "all zero: probe does not answer"
    POWER_ON = "power-on value: conversion failed"
    WEAK_POWER = "too little power for a conversion"


Decoded = Sample | Rejection


class Decoder(Protocol):
    """Turns the bytes of one instrument into samples."""

    @property
    def rejected(self) -> Counter[str]:
        """How many messages were no sample, by `Rejection`."""
        ...

    def feed(self, data: bytes) -> list[Sample]:
        """Return the samples that these bytes complete. Never raises on their content."""
        ...

    def reset(self) -> None:
        """Forget what is half received: the port was opened anew, maybe in mid-message."""
        ...

    def quiet(self) -> None:
        """Learn that the line was silent for longer than any gap within a message."""
        ...
