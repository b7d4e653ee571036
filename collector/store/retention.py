"""Retention: the oldest readings are removed, a little at a time, and the journal says so.

Lives in the writing thread. Each step is one transaction: some blocks or rows are taken away and
the event that tells of it is added, or neither.
"""

import logging
import sqlite3
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing
from itertools import islice

import msgspec

from collector.events import AnyEvent
from collector.retention import ALL_KEPT, Retention
from collector.service_events import ReadingsExpired
from collector.store.pictures import picture_bytes
from collector.store.queries import UPKEEP
from collector.store.sealed_times import SealedTimes
from collector.store.transaction import transaction
from collector.store.waiting_bytes import waiting_bytes

_LOG = logging.getLogger(__name__)

MINUTE_US = 60_000_000
HOUR_US = 60 * MINUTE_US
DAY_US = 24 * HOUR_US
EVER_US = 2**63 - 1
NEVER_US = -(2**63)

STEP_BLOCKS = 64
"""Blocks removed in one transaction: half a megabyte, some milliseconds."""

STEP_ROWS = 5_000
"""Rows of one channel removed in one transaction, some milliseconds."""

STEP_LOOKS = 200
"""Places where old rows are looked for in one transaction, each a look into an index."""

_APART = (
    "and for these no reading is removed. GET /api/outbox says why what waits is not sent; for"
    " photographs, allow more"
)
_SPARED = (
    "and all else that it still holds is of lots that are open or kept, or not sealed yet."
    " Release lots, or allow it more"
)

Append = Callable[[Sequence[AnyEvent]], object]
"""Adds events to the journal, within a transaction that is open."""


class OldBlock(msgspec.Struct, frozen=True):
    """A block that may be removed: its end (UTC us), its readings, its bytes."""

    id: int
    last_us: int
    count: int
    size: int


class SparedSpans:
    """The times of which nothing is removed, as spans in order that do not touch."""

    def __init__(self, spans: Iterable[tuple[int, int | None]]) -> None:
        self.spans: list[tuple[int, int]] = []
        for opened_us, closed_us in sorted(spans):
            end_us = EVER_US if closed_us is None else closed_us
            if self.spans and opened_us <= self.spans[-1][1] + 1:
                first_us, last_us = self.spans.pop()
                self.spans.append((first_us, max(last_us, end_us)))
            else:
                self.spans.append((opened_us, end_us))

    def touch(self, first_us: int, last_us: int) -> bool:
        """Return whether a span, ends included, holds a time of which nothing is removed."""
        place = bisect_right(self.spans, (last_us, EVER_US))
        return place > 0 and first_us <= self.spans[place - 1][1]

    def at(self, time_us: int) -> tuple[bool, int]:
        """Return whether nothing is removed of a time, and the last time for which that holds."""
        place = bisect_right(self.spans, (time_us, EVER_US))
        if place and time_us <= self.spans[place - 1][1]:
            return True, self.spans[place - 1][1]
        return False, self.spans[place][0] - 1 if place < len(self.spans) else EVER_US


class Place(msgspec.Struct, frozen=True):
    """Where to go on looking for rows from before a time: a channel, and from when on."""

    before_us: int = NEVER_US
    channel: int = 0
    from_us: int = NEVER_US


class Expiry:
    """Removes what `Retention` does not keep, one step at a time."""

    def __init__(
        self,
        connection: sqlite3.Connection,
        times: SealedTimes,
        retention: Retention,
        append: Append,
    ) -> None:
        self._connection = connection
        self._times = times
        self._retention = retention
        self._append = append
        self._done_before_us = NEVER_US
        self._place = Place()
        self._look_again_us = NEVER_US
        self._waiting_bytes = 0
        self._picture_bytes = 0
        self._measure_again_us = NEVER_US

    def expire(self, now_us: int) -> ReadingsExpired | None:
        """Take the next step; None where nothing is to be removed. Raises sqlite3.Error."""
        if self._retention == ALL_KEPT:
            return None
        with transaction(self._connection):
            expired = self._by_age(now_us) or self._by_space(now_us)
            if expired is not None:
                self._append([expired])
        if expired is not None:
            self._times.refresh()
        return expired

    def _by_age(self, now_us: int) -> ReadingsExpired | None:
        """Remove what is too old, by whole days: one event a day, not one for each block."""
        if self._retention.keep_us is None:
            return None
        before_us = (now_us - self._retention.keep_us) // DAY_US * DAY_US
        if before_us <= self._done_before_us:
            return None
        spared = self._spared()
        blocks = list(islice(self._old_blocks(spared, before_us), STEP_BLOCKS))
        if blocks:
            self._drop(blocks)
            return _expired(now_us, blocks)
        removed = self._drop_rows(spared, before_us)
        if removed:
            return _event(now_us, before_us, removed)
        if removed is not None:
            self._done_before_us = before_us
        return None

    def _by_space(self, now_us: int) -> ReadingsExpired | None:
        """Remove the oldest blocks. Rows stay: they are few, and the newest.

        For what waits to be sent no history goes: removing it would make no room for more. Nor
        for photographs, which stay as long as their lots do.
        """
        most = self._retention.most_bytes
        if most is None or now_us < self._look_again_us or self.used_bytes() <= most:
            return None
        too_many = self.used_bytes() - self._apart(now_us) - most
        blocks = self._oldest(too_many)
        if not blocks:
            self._look_again_us = now_us + HOUR_US
            self._warn(most, because=_APART if too_many <= 0 else _SPARED)
            return None
        self._drop(blocks)
        return msgspec.structs.replace(_expired(now_us, blocks), used_bytes=self.used_bytes())

    def _oldest(self, too_many: int) -> list[OldBlock]:
        """Return the oldest blocks that hold so many bytes, or as many as a step removes."""
        blocks: list[OldBlock] = []
        if too_many <= 0:
            return blocks
        for block in islice(self._old_blocks(self._spared(), EVER_US), STEP_BLOCKS):
            blocks.append(block)
            too_many -= block.size
            if too_many <= 0:
                break
        return blocks

    def _apart(self, now_us: int) -> int:
        """Return about how many of the bytes used are no history."""
        if now_us >= self._measure_again_us:
            self._waiting_bytes = waiting_bytes(self._connection)
            self._picture_bytes = picture_bytes(self._connection)
            self._measure_again_us = now_us + MINUTE_US
        return self._waiting_bytes + self._picture_bytes

    def _warn(self, most: int, because: str) -> None:
        _LOG.warning(
            "the store uses %d bytes, more than the %d it may: about %d wait to be sent elsewhere"
            " or were refused there, about %d are photographs, %s",
            self.used_bytes(),
            most,
            self._waiting_bytes,
            self._picture_bytes,
            because,
        )

    def used_bytes(self) -> int:
        """Return how much of the file holds something."""
        pages, free, size = (
            self._connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("page_count", "freelist_count", "page_size")
        )
        return int((pages - free) * size)

    def _spared(self) -> SparedSpans:
        return SparedSpans(self._connection.execute(UPKEEP["spared_spans"]).fetchall())

    def _old_blocks(self, spared: SparedSpans, before_us: int) -> Iterator[OldBlock]:
        with closing(self._connection.execute(UPKEEP["oldest_blocks"], (before_us,))) as rows:
            for number, first_us, last_us in rows:
                if not spared.touch(first_us, last_us):
                    size = self._connection.execute(UPKEEP["block_size"], (number,)).fetchone()
                    yield OldBlock(number, last_us, *size)

    def _drop(self, blocks: Iterable[OldBlock]) -> None:
        ids = [(block.id,) for block in blocks]
        self._connection.executemany(UPKEEP["drop_block"], ids)

    def _drop_rows(self, spared: SparedSpans, before_us: int) -> int | None:
        """Remove some rows of a channel; 0 where none is left, None where the search goes on."""
        places = self._old_rows(spared, before_us)
        for place in islice(places, STEP_LOOKS):
            is_spared, end_us = spared.at(place.from_us)
            if not is_spared:
                self._place = place
                span = {"channel": place.channel, "from_us": place.from_us}
                until = {"to_us": min(end_us, before_us - 1), "most": STEP_ROWS}
                done = self._connection.execute(UPKEEP["drop_old_rows"], {**span, **until})
                return done.rowcount
        self._place = next(places, Place())
        return 0 if self._place == Place() else None

    def _old_rows(self, spared: SparedSpans, before_us: int) -> Iterator[Place]:
        """Give where old rows are: the first of each channel, and the first after each span."""
        start = self._place if self._place.before_us == before_us else Place()
        for channel, _name, _until in self._connection.execute(UPKEEP["channels"]).fetchall():
            from_us = start.from_us if channel == start.channel else NEVER_US
            while channel >= start.channel and from_us < before_us:
                span = {"channel": channel, "from_us": from_us, "before_us": before_us}
                (oldest_us,) = self._connection.execute(UPKEEP["oldest_row"], span).fetchone()
                if oldest_us is None:
                    break
                yield Place(before_us, channel, oldest_us)
                from_us = spared.at(oldest_us)[1] + 1


def _expired(at_us: int, blocks: Sequence[OldBlock]) -> ReadingsExpired:
    before_us = max(block.last_us for block in blocks) + 1
    return _event(at_us, before_us, sum(block.count for block in blocks))


def _event(at_us: int, before_us: int, readings: int) -> ReadingsExpired:
    return ReadingsExpired(
        at_us=at_us, bench=None, lot=None, before_us=before_us, readings=readings
    )
