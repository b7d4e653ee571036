"""How much room there is for what is collected, and when that is too little."""

import msgspec

LOW_BYTES = 500_000_000
LOW_S = 2 * 3600
"""Low is less than either: half a gigabyte, or room for two hours of collection."""

READING_BYTES = 100
"""What a reading takes until it is sealed, at most: its row some 25 bytes (measured), as much
again in the log in front of the file, and a copy for each place that it is also sent to."""

MANY_BYTES = 10_000_000_000
"""From here on the room is told in gigabytes: nobody counts its megabytes."""


class Space(msgspec.Struct, frozen=True):
    """The disk under the data folder; `rate_hz` readings a second have come of late."""

    free_bytes: int
    store_bytes: int
    rate_hz: float

    @property
    def left_s(self) -> float | None:
        """For how long the room will do, None where nothing is collected."""
        return self.free_bytes / (self.rate_hz * READING_BYTES) if self.rate_hz > 0 else None

    @property
    def low(self) -> bool:
        """Whether somebody should make room."""
        return self.free_bytes < LOW_BYTES or (self.left_s is not None and self.left_s < LOW_S)

    @property
    def sentence(self) -> str:
        """All of it for a person."""
        free = f"{_size(self.free_bytes)} are free on the disk that holds the record."
        if not self.low:
            return free
        return f"{free} Free some space there before nothing more can be kept."


def _size(size: int) -> str:
    return f"{size / 1e9:.0f} GB" if size >= MANY_BYTES else f"{size / 1e6:.0f} MB"
