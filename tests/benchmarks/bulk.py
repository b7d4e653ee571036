"""Long histories, straight into sealed blocks: what months of the service's upkeep come to.

The blocks are made by the store's own code and are as large as the service makes them; what is
left out is that each reading was a row first.
"""

from collections.abc import Iterable, Sequence
from contextlib import closing
from pathlib import Path

import msgspec
import numpy as np
from made_readings import span

from collector.readings import Channel
from collector.store.blocks import BLOCK_READINGS, pack
from collector.store.database import open_writer
from collector.store.queries import UPKEEP, WRITING
from collector.store.records import NO_READINGS, ReadingSpan, united
from collector.store.transaction import transaction


class BulkWriter:
    """Seals readings of some channels as they are handed over, each channel on its own."""

    def __init__(self, folder: Path, channels: Sequence[str]) -> None:
        self._connection = open_writer(folder)
        self._connection.executemany(WRITING["add_channel"], [(name,) for name in channels])
        self._numbers = dict(self._connection.execute(WRITING["channel_ids"]).fetchall())
        self._waiting = dict.fromkeys(channels, NO_READINGS)
        self.readings = 0

    def add(self, spans: Iterable[tuple[str, ReadingSpan]]) -> None:
        """Take what each channel gave after what it gave before; one transaction."""
        with transaction(self._connection):
            for name, given in spans:
                whole = united([self._waiting[name], given])
                full = len(whole.times) // BLOCK_READINGS * BLOCK_READINGS
                for start in range(0, full, BLOCK_READINGS):
                    self._seal(name, part(whole, start, start + BLOCK_READINGS))
                self._waiting[name] = part(whole, full, len(whole.times))

    def close(self) -> None:
        """Seal what is left and close the file."""
        with closing(self._connection), transaction(self._connection):
            for name, rest in self._waiting.items():
                if len(rest.times):
                    self._seal(name, rest)

    def _seal(self, name: str, readings: ReadingSpan) -> None:
        row = (self._numbers[name], *msgspec.structs.astuple(pack(readings)))
        self._connection.execute(UPKEEP["add_block"], row)
        self.readings += len(readings.times)


def part(whole: ReadingSpan, start: int, end: int) -> ReadingSpan:
    """Return the readings between two places."""
    return ReadingSpan(whole.times[start:end], whole.values[start:end], whole.flags[start:end])


def fill_days(
    folder: Path, channels: Sequence[Channel], mornings_us: Iterable[int], lasts_s: int
) -> int:
    """Let the channels give readings for so long on each of the days; return how many."""
    rng = np.random.default_rng(5)
    writer = BulkWriter(folder, [channel.name for channel in channels])
    for morning_us in mornings_us:
        writer.add((c.name, span(c.role, morning_us, lasts_s, rng)) for c in channels)
    writer.close()
    return writer.readings
