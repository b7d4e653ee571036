"""What passes from a reader's thread to the rest of the service."""

from collections.abc import Callable, Mapping
from typing import Protocol

import msgspec

from collector.readings import Sample


class Sampled(msgspec.Struct, frozen=True, gc=False):
    """An instrument gave a sample; `taken_us` is UTC in microseconds, when its bytes arrived."""

    instrument: str
    taken_us: int
    sample: Sample


class LinkOpened(msgspec.Struct, frozen=True):
    """The port of an instrument was opened, at first or again; `at_us` is UTC microseconds."""

    instrument: str
    at_us: int


class LinkFailed(msgspec.Struct, frozen=True):
    """The port of an instrument failed. `remedy` says what a person can do about it."""

    instrument: str
    at_us: int
    reason: str
    remedy: str


Report = Sampled | LinkOpened | LinkFailed

Sink = Callable[[Report], None]
"""Takes reports. It is called from the reader's thread, must not block and must not raise."""


class Pulse(msgspec.Struct, frozen=True):
    """Whether a reader's thread lives, and how long ago it last got on, real seconds.

    A thread that waits for a port which is not there gets on too.
    """

    alive: bool
    age_s: float


class Reader(Protocol):
    """Reads one port, and the instruments behind it, in a thread of its own."""

    @property
    def names(self) -> tuple[str, ...]:
        """The instruments that it reads."""
        ...

    def start(self, sink: Sink) -> None:
        """Begin to read and report to `sink`. Returns at once; to be called once."""
        ...

    def stop(self) -> None:
        """End the thread and close the port within 2 s. May be called again, or unstarted."""
        ...

    def pulse(self) -> Pulse:
        """Return how its thread does."""
        ...

    def rejected(self, name: str) -> Mapping[str, int]:
        """Return how many messages of an instrument were no sample, by reason."""
        ...
