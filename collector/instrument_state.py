"""How each instrument of the workshop does right now."""

from enum import StrEnum

import msgspec

from collector.instrument_config import InstrumentConfig
from collector.readings import Quality, Reading


class LinkState(StrEnum):
    """Whether an instrument gives readings."""

    WAITING = "waiting"  # nothing heard since the start
    READING = "reading"
    SILENT = "silent"  # connected, but it says nothing
    LOST = "lost"  # its port fails


class InstrumentState(msgspec.Struct, frozen=True, gc=False):
    """One instrument as it stands; `remedy` says what a person can do about `reason`."""

    instrument: InstrumentConfig
    state: LinkState = LinkState.WAITING
    reason: str | None = None
    remedy: str | None = None
    last: Reading | None = None

    def lost(self, reason: str, remedy: str) -> "InstrumentState":
        """Return the state after its port failed."""
        return msgspec.structs.replace(self, state=LinkState.LOST, reason=reason, remedy=remedy)

    def opened(self) -> "InstrumentState":
        """Return the state after its port was opened."""
        return msgspec.structs.replace(self, state=LinkState.WAITING, reason=None, remedy=None)

    def heard(self, reading: Reading) -> "InstrumentState":
        """Return the state after a reading."""
        if reading.quality is Quality.BAD:
            return msgspec.structs.replace(self, last=reading)
        return InstrumentState(self.instrument, LinkState.READING, last=reading)

    def moved(self, by_us: int) -> "InstrumentState":
        """Return the state after the service's time was moved."""
        if self.last is None:
            return self
        last = msgspec.structs.replace(self.last, taken_us=self.last.taken_us + by_us)
        return msgspec.structs.replace(self, last=last)

    def at(self, now_us: int) -> "InstrumentState":
        """Return the state at a time: too long without a reading is silence."""
        patience_us = self.instrument.silent_after_us
        quiet = self.state is LinkState.READING and self.last is not None
        if not quiet or patience_us is None or self.last is None:
            return self
        if now_us - self.last.taken_us < patience_us:
            return self
        return msgspec.structs.replace(
            self,
            state=LinkState.SILENT,
            reason="it is connected but says nothing",
            remedy="Check its plug, its batteries and whether it has switched itself off.",
        )
