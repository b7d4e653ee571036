"""The file in which the simulator keeps the day's clock."""

import mmap
from pathlib import Path

SIZE = 8


class ClockFile:
    """UTC in microseconds as a little-endian signed 64-bit integer, at `path`."""

    def __init__(self, path: Path, now_us: int) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(now_us.to_bytes(SIZE, "little", signed=True))
        with path.open("r+b") as file:
            self._memory = mmap.mmap(file.fileno(), SIZE)

    def write(self, now_us: int) -> None:
        """Set the time. One copy of eight aligned bytes, so that a reader sees no half of it."""
        self._memory[:SIZE] = now_us.to_bytes(SIZE, "little", signed=True)

    def close(self) -> None:
        """Let go of the file; the last time stays in it."""
        self._memory.close()
