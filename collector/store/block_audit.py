"""Is every sealed reading there, once? And how many readings a conclusion rests on.

One block at a time, so memory does not grow with the history.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing

from collector.conclusions import Evidence
from collector.errors import StoreError
from collector.store.blocks import Block, damaged, unpack
from collector.store.faults import Fault
from collector.store.queries import READING, VERIFYING
from collector.store.records import NO_READINGS, ReadingSpan
from collector.store.stored_readings import channel_id


def audit_blocks(connection: sqlite3.Connection) -> Iterator[Fault]:
    """Give each block that cannot be read, is out of place, or holds what a row holds too.

    The caller holds a snapshot. Raises sqlite3.Error.
    """
    for number, name in connection.execute(VERIFYING["channels"]).fetchall():
        before: Block | None = None
        with closing(connection.execute(VERIFYING["channel_blocks"], (number,))) as rows:
            for row in rows:
                block = Block(*row)
                sentences = _faults_of(connection, number, name, block, before)
                yield from (Fault(f"block of {name}", sentence) for sentence in sentences)
                before = block


def _faults_of(
    connection: sqlite3.Connection, number: int, name: str, block: Block, before: Block | None
) -> Iterator[str]:
    if before is not None and block.first_us <= before.last_us:
        yield damaged(block, name, "they overlap the sealed readings before them").message
    try:
        times = unpack(block, name).times
    except StoreError as error:
        yield error.message
        return
    if not bool((times[1:] > times[:-1]).all()):
        yield damaged(block, name, "they are not in the order of time").message
    ends = (number, block.first_us, block.last_us)
    rows = connection.execute(VERIFYING["row_times"], ends).fetchall()
    doubled = {taken_us for (taken_us,) in rows}
    if doubled:  # hardly ever: rows within a block came late and wait to be sealed
        doubled.intersection_update(times.tolist())
    if doubled:
        yield damaged(block, name, f"{len(doubled)} of them are stored as rows too").message


class BlockCounts:
    """Counts what a bench was fed, in blocks and rows.

    It remembers the last block of each channel: conclusions come in the order of time, many on
    one block. Raises sqlite3.Error.
    """

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._last: dict[str, tuple[Block, ReadingSpan]] = {}

    def count(self, evidence: Evidence) -> int:
        """Return how many readings are stored in an evidence's span, none that came late."""
        number = channel_id(self._connection, evidence.channel)
        ends = {"channel": number, "from_us": evidence.from_us, "to_us": evidence.to_us}
        (count,) = self._connection.execute(VERIFYING["count_rows"], ends).fetchone()
        for row in self._connection.execute(READING["blocks"], ends).fetchall():
            span = self._opened(evidence.channel, Block(*row))
            count += len(span.between(evidence.from_us, evidence.to_us).judged.times)
        return int(count)

    def _opened(self, channel: str, block: Block) -> ReadingSpan:
        known = self._last.get(channel)
        if known is not None and known[0] == block:
            return known[1]
        try:
            span = unpack(block, channel)
        except StoreError:
            span = NO_READINGS  # the audit of the blocks tells of it
        self._last[channel] = (block, span)
        return span
