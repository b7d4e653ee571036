"""One thermometer of a 1-Wire bus: when it is due, what it said, how often it failed."""

from collections import Counter
from pathlib import Path

import msgspec

from collector.instruments.decoding import Rejection
from collector.instruments.w1_thermometer import decode_w1_slave
from collector.readers.one_wire_failures import one_wire_failed
from collector.readings import Quality, Quantity, Sample

TRIES = 3
"""Failed reads in a row after which the probe itself is in doubt: one or two are noise on a
long cable (common practice, no source)."""

_FAILING = Sample(Quantity.TEMPERATURE, 0, Quality.BAD)


class ProbeAddress(msgspec.Struct, frozen=True):
    """An instrument on a 1-Wire bus: the name of its folder, and how often to read it."""

    instrument: str
    device: str
    every_us: int


class OneWireProbe:
    """Reads one thermometer. Used from the thread of its bus only."""

    def __init__(self, address: ProbeAddress, root: Path) -> None:
        self.address = address
        self.rejected: Counter[str] = Counter()
        self._root = root
        self._due_us: int | None = None
        self._failed_in_a_row = 0

    def due_in_us(self, now_us: int) -> int:
        """Return how long until the next read, 0 or less if it is due.

        A clock that was set back does not leave the probe waiting for the old time.
        """
        if self._due_us is None:
            return 0
        return min(self._due_us - now_us, self.address.every_us)

    def plan(self, now_us: int) -> None:
        """Set the next read one period after the last was due; after a stall, after now."""
        every_us = self.address.every_us
        next_us = (self._due_us or now_us) + every_us
        self._due_us = next_us if now_us < next_us <= now_us + every_us else now_us + every_us

    def measure(self) -> Sample | None:
        """Read it, which takes the chip up to 0.9 s.

        Returns None for a read that failed its checks, and a sample of quality BAD from the
        third such read in a row on. Raises LinkError where there is nothing to read.
        """
        try:
            answer = (self._root / self.address.device / "w1_slave").read_bytes()
        except OSError as error:
            self._failed_in_a_row = 0
            raise one_wire_failed(self._root, self.address.device, error) from error
        decoded = decode_w1_slave(answer)
        if isinstance(decoded, Rejection):
            return self._refused(decoded)
        self._failed_in_a_row = 0
        return decoded

    def _refused(self, rejection: Rejection) -> Sample | None:
        self.rejected[rejection.value] += 1
        self._failed_in_a_row += 1
        return _FAILING if self._failed_in_a_row >= TRIES else None
