"""Sealing: rows that have settled become compressed blocks, a little at a time.

Lives in the writing thread. Each step is one transaction: a block is written and its rows are
taken away, or neither. A step is small, so that a commit never waits long for it.
"""

import logging
import sqlite3
from collections.abc import Iterable, Iterator

import msgspec
import numpy as np

from collector.errors import StoreError
from collector.store.blocks import BLOCK_READINGS, Block, pack, unpack
from collector.store.queries import READING, UPKEEP
from collector.store.records import ReadingSpan, united
from collector.store.sealed_times import NEVER_US, SealedTimes
from collector.store.transaction import transaction

_LOG = logging.getLogger(__name__)

MINUTE_US = 60_000_000
HOUR_US = 60 * MINUTE_US
DAY_US = 24 * HOUR_US


class Sealing(msgspec.Struct, frozen=True):
    """When readings are sealed. Times in microseconds.

    `block_readings` make a full block once the last of them is older than `settled_us`: by then
    hardly anything comes late, and screens that follow the day read plain rows. What is left of
    a channel that was silent for `silent_us` becomes a smaller block. A channel that had not
    enough rows is looked at again after `pause_us`.
    """

    block_readings: int = BLOCK_READINGS
    settled_us: int = 2 * HOUR_US
    silent_us: int = DAY_US
    pause_us: int = MINUTE_US


USUAL = Sealing()
"""As a service seals."""


class Sealed(msgspec.Struct, frozen=True):
    """What one step sealed: so many rows of a channel into so many blocks."""

    channel: str
    readings: int
    blocks: int


class Replacement(msgspec.Struct, frozen=True):
    """One step to take: `rows`, with what the block `replaced` holds, become new blocks."""

    rows: ReadingSpan
    replaced: int | None = None
    held: ReadingSpan | None = None

    def blocks(self, most: int) -> list[ReadingSpan]:
        """Return what the new blocks hold: a quarter more than `most` each, or less.

        The quarter keeps a few late readings from leaving a tiny block behind.
        """
        whole = united([span for span in (self.held, self.rows) if span is not None])
        pieces = 1 if len(whole.times) <= most + most // 4 else -(-len(whole.times) // most)
        places = np.array_split(np.arange(len(whole.times)), pieces)
        return [whole.where(piece) for piece in places]


class Sealer:
    """Seals one step at a time, the channels in turn."""

    def __init__(
        self, connection: sqlite3.Connection, times: SealedTimes, sealing: Sealing
    ) -> None:
        self._connection = connection
        self._times = times
        self._sealing = sealing
        self._last_channel = 0
        self._look_again_us: dict[int, int] = {}
        self._stuck: set[int] = set()
        self._unproven: set[int] = set()
        self._told: set[int] = set()

    def seal(self, now_us: int) -> Sealed | None:
        """Take the next step; None where nothing is to be sealed.

        The rows of a channel whose block would not give back what went into it stay rows.

        Raises sqlite3.Error; nothing has changed then.
        """
        for channel, name in self._in_turn():
            if channel not in self._unproven:
                sealed = self._seal(channel, name, now_us)
                if sealed is not None:
                    return sealed
        return None

    def try_again(self) -> None:
        """Forget what could not be sealed: readings were removed, perhaps these."""
        self._stuck.clear()
        self._unproven.clear()

    def _seal(self, channel: int, name: str, now_us: int) -> Sealed | None:
        step = self._next_step(channel, name, now_us)
        if step is None:
            return None
        self._last_channel = channel
        try:
            blocks = list(self._proven(name, step))
        except StoreError as error:
            self._unproven.add(channel)
            self._tell(channel, name, error)
            return None
        self._replace(channel, step, blocks)
        return Sealed(name, len(step.rows.times), len(blocks))

    def _tell(self, channel: int, name: str, error: StoreError) -> None:
        if channel not in self._told:
            self._told.add(channel)
            _LOG.error("%s Readings of %s stay rows, unsealed.", error.message, name)

    def _in_turn(self) -> Iterable[tuple[int, str]]:
        rows = self._connection.execute(UPKEEP["channels"]).fetchall()
        channels = [(number, name) for number, name, _until in rows]
        return sorted(channels, key=lambda channel: (channel[0] <= self._last_channel, channel[0]))

    # ------------------------------------------------------------ what is due

    def _next_step(self, channel: int, name: str, now_us: int) -> Replacement | None:
        late = self._late(channel, name, now_us - self._sealing.settled_us)
        return late or self._full(channel, now_us) or self._tail(channel, now_us)

    def _late(self, channel: int, name: str, settled_us: int) -> Replacement | None:
        """Return the rows that came for a time which is sealed, with the block they join."""
        until_us = min(self._times.until_us(channel), settled_us)
        first = self._rows(channel, NEVER_US, until_us, 1)
        if not len(first.times) or channel in self._stuck:
            return None
        found = self._neighbor(channel, int(first.times[0]))
        if found is None:
            return Replacement(self._rows(channel, NEVER_US, until_us))
        number, block = found
        start_us = self._connection.execute(
            UPKEEP["next_start"], (channel, block.first_us)
        ).fetchone()[0]
        end_us = until_us if start_us is None else min(until_us, start_us - 1)
        try:
            held = unpack(block, name)
        except StoreError as error:
            self._stuck.add(channel)  # they stay rows, which are read like the rest
            self._tell(channel, name, error)
            return None
        return Replacement(self._rows(channel, NEVER_US, end_us), number, held)

    def _neighbor(self, channel: int, taken_us: int) -> tuple[int, Block] | None:
        row = (
            self._connection.execute(UPKEEP["block_at"], (channel, taken_us)).fetchone()
            or self._connection.execute(UPKEEP["first_block"], (channel,)).fetchone()
        )
        return (row[0], Block(*row[1:])) if row is not None else None

    def _full(self, channel: int, now_us: int) -> Replacement | None:
        if now_us < self._look_again_us.get(channel, NEVER_US):
            return None
        size, from_us = self._sealing.block_readings, self._after_blocks(channel)
        span = {"channel": channel, "from_us": from_us, "to_us": now_us, "skipped": size - 1}
        found = self._connection.execute(READING["nth_reading_us"], span).fetchone()
        due_us = now_us + self._sealing.pause_us
        if found is not None:
            due_us = found[0] + self._sealing.settled_us
        if found is None or due_us > now_us:
            self._look_again_us[channel] = due_us
            return None
        return Replacement(self._rows(channel, from_us, found[0]))

    def _tail(self, channel: int, now_us: int) -> Replacement | None:
        (last_us,) = self._connection.execute(READING["last_reading_us"], (channel,)).fetchone()
        if last_us is None or last_us > now_us - self._sealing.silent_us:
            return None
        rows = self._rows(channel, self._after_blocks(channel), last_us)
        return Replacement(rows) if len(rows.times) else None

    def _after_blocks(self, channel: int) -> int:
        return self._times.until_us(channel) + 1

    def _rows(self, channel: int, from_us: int, to_us: int, most: int | None = None) -> ReadingSpan:
        span = {"channel": channel, "from_us": from_us, "to_us": to_us}
        limit = {"most": most or self._sealing.block_readings}
        rows = self._connection.execute(UPKEEP["rows"], {**span, **limit}).fetchall()
        times, values, flags = np.array(rows, np.int64).reshape(-1, 3).T
        return ReadingSpan(times.copy(), values.copy(), flags.astype(np.uint8))

    # ------------------------------------------------------------ the step

    def _replace(self, channel: int, step: Replacement, blocks: Iterable[Block]) -> None:
        first_us, last_us = int(step.rows.times[0]), int(step.rows.times[-1])
        span = {"channel": channel, "from_us": first_us, "to_us": last_us}
        with transaction(self._connection):
            if step.replaced is not None:
                self._connection.execute(UPKEEP["drop_block"], (step.replaced,))
            self._connection.executemany(
                UPKEEP["add_block"], [(channel, *msgspec.structs.astuple(b)) for b in blocks]
            )
            self._connection.execute(UPKEEP["drop_rows"], span)
        self._times.refresh()

    def _proven(self, name: str, step: Replacement) -> Iterator[Block]:
        """Give the new blocks, each after it gave back what went into it."""
        for span in step.blocks(self._sealing.block_readings):
            block = pack(span)
            unpack(block, name)
            yield block
