"""What a bench and its hub tell of themselves: the retained documents of `…/state`."""

from typing import Literal

import msgspec

from collector.errors import PackError
from collector.instrument_state import InstrumentState
from collector.units import MAX_FIXED

MAX_BYTES = 1 << 16
"""Longest document: hundreds of instruments."""

MOST_WORDS = 300
"""Longest reason or remedy, in characters: a sentence or two."""


class InstrumentLink(msgspec.Struct, frozen=True, omit_defaults=True):
    """How an instrument at the bench does; `remedy` says what can be done about `reason`."""

    name: str
    state: str
    reason: str | None = None
    remedy: str | None = None

    @classmethod
    def of(cls, state: InstrumentState) -> "InstrumentLink":
        """Return what is told of an instrument."""
        return cls(state.instrument.name, state.state.value, state.reason, state.remedy)


class BenchState(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A bench as it tells of itself; the hub's own document has the first keys only.

    `at_us` is the time of its own clock, `since_us` when it came online, both UTC microseconds;
    `reason` says why it is offline. `waiting` is how many commits the hub has not confirmed.
    """

    state: Literal["online", "offline"]
    version: str = ""
    at_us: int | None = None
    since_us: int | None = None
    reason: str | None = None
    waiting: int | None = None
    instruments: tuple[InstrumentLink, ...] = ()

    @property
    def online(self) -> bool:
        """Whether it is there."""
        return self.state == "online"

    def encode(self) -> bytes:
        """Return the document as JSON."""
        return msgspec.json.encode(self)


CUT_OFF = BenchState(state="offline", reason="its connection to the broker broke off")
"""The last will, which the broker tells in its name."""

STOPPED = BenchState(state="offline", reason="it was stopped")


def decode(data: bytes) -> BenchState:
    """Return the state that a document tells. Raises PackError."""
    if len(data) > MAX_BYTES:
        raise PackError(f"the state is longer than {MAX_BYTES} bytes")
    try:
        return _cleaned(msgspec.json.decode(data, type=BenchState))
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise PackError(f"not a bench's state: {error}") from error


def _cleaned(state: BenchState) -> BenchState:
    """Return a state whose words fit into a line and whose times are some: it comes from outside.

    Raises PackError.
    """
    times = (state.at_us or 0, state.since_us or 0)
    if any(not 0 <= time_us <= MAX_FIXED for time_us in times):
        raise PackError("the state's time is none")
    links = tuple(
        msgspec.structs.replace(link, reason=_line(link.reason), remedy=_line(link.remedy))
        for link in state.instruments
    )
    return msgspec.structs.replace(state, reason=_line(state.reason), instruments=links)


def _line(words: str | None) -> str | None:
    if words is None:
        return None
    return "".join(letter if letter.isprintable() else " " for letter in words[:MOST_WORDS])
