"""Where a screen is in the event stream, as the id of each message says it."""

import re

import msgspec

_CURSOR = re.compile(r"([0-9]{1,18})-([0-9]{1,18}(?:\.[0-9]{1,18})*)")
"""What 64 bits hold, and a little less."""


class Cursor(msgspec.Struct):
    """The last event that a screen was told, and the time of the last reading of each bench.

    Benches stand in the workshop's order. Each has a time of its own: readings that come over a
    network are behind those of the machine itself.
    """

    seq: int
    taken_us: list[int]

    def __str__(self) -> str:
        return f"{self.seq}-{'.'.join(map(str, self.taken_us))}"

    @classmethod
    def read(cls, text: str | None) -> "Cursor | None":
        """Return the cursor that an id names, None where it names none."""
        found = _CURSOR.fullmatch(text or "")
        return cls(int(found[1]), [*map(int, found[2].split("."))]) if found is not None else None

    def at(self, benches: int) -> "Cursor":
        """Return it for so many benches: where there were others, all begin at the earliest."""
        if len(self.taken_us) == benches:
            return self
        return Cursor(self.seq, [min(self.taken_us)] * benches)
