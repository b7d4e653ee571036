"""What a bench and its hub tell of themselves: the retained documents of `…/state`."""

from typing import Literal

import msgspec

from collector.errors import PackError
from collector.instrument_state import InstrumentState

MAX_BYTES = 1 << 16
"""Longest document: hundreds of instruments."""


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
        return msgspec.json.decode(data, type=BenchState)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise PackError(f"not a bench's state: {error}") from error
