"""Why nothing is being kept at the moment, and for how long memory goes on holding it."""

import msgspec

from collector.display import duration


class Trouble(msgspec.Struct, frozen=True):
    """A store that refuses.

    `message` is what the store said, `since_s` the event loop's time of the first refusal.
    `waiting` readings are in memory, `room` more fit, and `lost` did not. `rate_hz` is how many
    come in a second, 0 where that is not known yet.
    """

    message: str
    since_s: float
    waiting: int
    room: int
    lost: int = 0
    rate_hz: float = 0.0

    @property
    def left_us(self) -> int | None:
        """For how long memory can go on holding what comes, None where that is not known."""
        return round(self.room / self.rate_hz * 1_000_000) if self.rate_hz > 0 else None

    @property
    def sentence(self) -> str:
        """All of it for a person."""
        return " ".join(filter(None, [self.message, self._memory()]))

    def _memory(self) -> str:
        if self.lost:
            return f"Memory is full: the oldest {self.lost} readings are lost already."
        if self.left_us is None:
            return "Collection goes on in memory."
        return f"Collection goes on in memory, which holds {duration(self.left_us)} more."
