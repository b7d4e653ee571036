"""Up to when each channel is sealed, and whether a reading is in a block already.

Lives in the writing thread. A reading is known by channel and time taken; the rows' key sees to
that among rows, this among blocks. Only a reading from before the end of its channel's last block
is looked up, so the usual batch costs one comparison a reading.
"""

import logging
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Sequence

from collector.errors import StoreError
from collector.store.blocks import Block, unpack_times
from collector.store.queries import UPKEEP

_LOG = logging.getLogger(__name__)

Row = tuple[int, int, int, int]
"""A reading as its table holds it: channel, time taken (UTC us), value, quality."""

NEVER_US = -(2**63)
"""Earlier than any reading; as the end of the last block: nothing is sealed."""


class SealedTimes:
    """Where the blocks of each channel end, kept in step with the file. Raises sqlite3.Error."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._until_us: dict[int, int] = {}
        self._by_name: dict[str, int] = {}
        self.refresh()

    def refresh(self) -> None:
        """Look into the file: blocks were added or removed, and that is committed."""
        channels = self._connection.execute(UPKEEP["channels"]).fetchall()
        self._until_us = {number: until for number, _, until in channels if until is not None}
        self._by_name = {name: until for _, name, until in channels if until is not None}

    def until_us(self, channel: int) -> int:
        """Return when the last sealed reading of a channel was taken."""
        return self._until_us.get(channel, NEVER_US)

    def until_of(self, names: Iterable[str]) -> int:
        """Return when the last sealed reading of any of these channels was taken.

        May be asked from any thread: the table is made anew, never changed.
        """
        by_name = self._by_name
        return max((by_name.get(name, NEVER_US) for name in names), default=NEVER_US)

    def unsealed(self, rows: Sequence[Row]) -> Sequence[Row]:
        """Return the rows that no block holds."""
        if not self._until_us:
            return rows
        early = defaultdict(set)
        for channel, taken_us, _, _ in rows:
            if taken_us <= self._until_us.get(channel, NEVER_US):
                early[channel].add(taken_us)
        if not early:
            return rows
        held = {channel: self._held(channel, times) for channel, times in early.items()}
        return [row for row in rows if row[1] not in held.get(row[0], ())]

    def _held(self, channel: int, times: Iterable[int]) -> set[int]:
        """Return which of these times the channel's blocks hold; each block is opened once."""
        held: set[int] = set()
        waiting = sorted(times)
        while waiting:
            row = self._connection.execute(UPKEEP["block_at"], (channel, waiting[-1])).fetchone()
            if row is None:
                break
            block = Block(*row[1:])
            within = [time_us for time_us in waiting if time_us >= block.first_us]
            if within[0] <= block.last_us:
                held.update(_times_of(channel, block).intersection(within))
            waiting = waiting[: -len(within)]
        return held


def _times_of(channel: int, block: Block) -> set[int]:
    try:
        return set(unpack_times(block, f"channel {channel}").tolist())
    except StoreError as error:
        # Refusing the batch would cost readings; verify tells of the block.
        _LOG.error("%s", error.message)
        return set()
