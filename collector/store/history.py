"""Reads of the store: what is committed, from any thread, while the service writes or not."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import msgspec

from collector.errors import NotFoundError
from collector.event_base import Event
from collector.events import decode
from collector.lot_events import RecipeKept
from collector.readings import Reading
from collector.store.database import reading_from
from collector.store.lot_material import LotMaterial, read_material
from collector.store.queries import PICTURING, READING
from collector.store.reading_slices import ReadingSlice, count, slices
from collector.store.records import ReadingSpan, StoredEvent, StoredLot, StoredRecipe
from collector.store.stored_readings import last_judged_us, last_reading_us, merged, read_span
from collector.store.transaction import snapshot

Value = str | int


class History:
    """What a data folder holds. Making one costs nothing and opens nothing.

    Each call reads with a connection of its own and sees every commit that ended before it;
    calls block, so an event loop makes them in a thread. All of them raise StoreError where
    the folder has no store that this version can read. Times are UTC microseconds, spans
    include both ends.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    # ------------------------------------------------------------ events

    def events(self, lot: str) -> list[StoredEvent]:
        """Return the events of one lot, in order."""
        return self._events("lot_events", lot)

    def bench_events(self, bench: str, after_seq: int = 0) -> list[StoredEvent]:
        """Return the events of one bench, of its lots and between them, in order."""
        return self._events("bench_events", bench, after_seq)

    def events_of(self, kinds: Iterable[type[Event]]) -> list[StoredEvent]:
        """Return all events of the given classes, in order."""
        names = [kind.__struct_config__.tag for kind in kinds]
        return self._events("kind_events", msgspec.json.encode(names).decode())

    def events_after(self, seq: int, limit: int) -> list[StoredEvent]:
        """Return at most `limit` events that follow number `seq`, in order."""
        return self._events("events_after", seq, limit)

    def alarm_events(self, alarm: str | None = None) -> list[StoredEvent]:
        """Return the life of one alarm, or of all of them, in order.

        The first event is its AlarmRaised, which names bench and lot. Empty where there is no
        such alarm.
        """
        if alarm is None:
            return self._events("all_alarm_events")
        return self._events("alarm_events", alarm)

    def last_seq(self) -> int:
        """Return the number of the last event, 0 before the first."""
        with reading_from(self._folder) as connection:
            (seq,) = connection.execute(READING["last_seq"]).fetchone()
        return int(seq)

    # ------------------------------------------------------------ lots

    def lots(self) -> list[StoredLot]:
        """Return all lots, the newest first."""
        return self._lots("lots")

    def open_lots(self) -> list[StoredLot]:
        """Return the lots that are not closed, the newest first."""
        return self._lots("open_lots")

    def lot(self, lot: str) -> StoredLot:
        """Return one lot. Raises NotFoundError."""
        for found in self._lots("lot", lot):
            return found
        raise NotFoundError(f"There is no lot {lot}. GET /api/lots or pourkeep lots lists them.")

    def lot_serials(self, prefix: str) -> list[int]:
        """Return, in order, the numbers n of the lots whose id is `prefix` and then n.

        With the prefix `2026-11-25-` that is [1, 2] after two lots of that day.
        """
        with reading_from(self._folder) as connection:
            rows = connection.execute(READING["numbered_lots"], {"prefix": prefix}).fetchall()
        tails = [lot.removeprefix(prefix) for (lot,) in rows]
        return sorted(int(tail) for tail in tails if tail.isascii() and tail.isdigit())

    def material(self, lot: str) -> LotMaterial:
        """Return what a lot's judgment rests on, as of one moment. Raises NotFoundError."""
        with reading_from(self._folder) as connection:
            found = read_material(connection, lot)
        if not found.events:
            raise NotFoundError(f"There is no lot {lot!r}.")
        return found

    def picture(self, lot: str, photograph: str) -> bytes:
        """Return the bytes of a lot's photograph. Raises NotFoundError, also once taken back."""
        with reading_from(self._folder) as connection:
            found = connection.execute(PICTURING["shown"], (lot, photograph)).fetchone()
        if found is None:
            raise NotFoundError(f"Lot {lot} shows no photograph {photograph!r}.")
        return bytes(found[0])

    # ------------------------------------------------------------ recipes

    def recipes(self) -> list[StoredRecipe]:
        """Return all recipes as last kept, by name."""
        return self._recipes("recipes")

    def recipe(self, name: str) -> StoredRecipe:
        """Return one recipe as last kept. Raises NotFoundError."""
        for found in self._recipes("recipe", name):
            return found
        raise NotFoundError(f"There is no recipe named {name!r}. GET /api/recipes lists them.")

    # ------------------------------------------------------------ readings

    def readings(self, channel: str, from_us: int, to_us: int) -> ReadingSpan:
        """Return a channel's readings as arrays (times, values, qualities), in time order.

        Those that came late are among them. Raises StoreError also for damaged blocks.
        """
        with reading_from(self._folder) as connection, snapshot(connection):
            return read_span(connection, channel, from_us, to_us)

    def bench_readings(
        self, channels: Sequence[str], from_us: int, to_us: int
    ) -> Iterator[Reading]:
        """Give what a bench was fed of several channels, one by one, in time order.

        That is all but what came late. Raises StoreError also for damaged blocks.
        They are fetched in chunks as the iterator proceeds, so a span of any length will do.
        """
        return merged(self._folder, channels, from_us, to_us)

    def reading_slices(
        self, channels: Sequence[str], from_us: int, to_us: int
    ) -> Iterator[ReadingSlice]:
        """Give all readings of several channels, those that came late too, in slices of time.

        A span of any length will do. Raises StoreError also for damaged blocks.
        """
        return slices(self._folder, channels, from_us, to_us)

    def count_readings(self, channels: Iterable[str], from_us: int, to_us: int) -> int:
        """Return how many readings of several channels a span holds. Raises StoreError."""
        with reading_from(self._folder) as connection, snapshot(connection):
            return sum(count(connection, channel, from_us, to_us) for channel in channels)

    def last_reading_us(self, channels: Iterable[str]) -> int | None:
        """Return when the latest reading of any of these channels was taken, or None."""
        with reading_from(self._folder) as connection, snapshot(connection):
            latest = [last_reading_us(connection, channel) for channel in channels]
        return max((taken_us for taken_us in latest if taken_us is not None), default=None)

    def last_judged_us(self, channels: Iterable[str]) -> int | None:
        """Return when the latest reading of these was taken that did not come late, or None."""
        with reading_from(self._folder) as connection, snapshot(connection):
            latest = [last_judged_us(connection, channel) for channel in channels]
        return max((taken_us for taken_us in latest if taken_us is not None), default=None)

    def latest_us(self, channels: Iterable[str]) -> int:
        """Return the time of the latest event or reading of these channels, 0 before the first.

        Readings that came late do not count: another machine timed them, and may have said any
        time.
        """
        with reading_from(self._folder) as connection:
            (event_us,) = connection.execute(READING["latest_event_us"]).fetchone()
        return max(int(event_us), self.last_judged_us(channels) or 0)

    # ------------------------------------------------------------ rows

    def _events(self, query: str, *values: Value) -> list[StoredEvent]:
        with reading_from(self._folder) as connection:
            rows = connection.execute(READING[query], values).fetchall()
            return [StoredEvent(seq, decode(body)) for seq, body in rows]

    def _lots(self, query: str, *values: Value) -> list[StoredLot]:
        with reading_from(self._folder) as connection:
            rows = connection.execute(READING[query], values).fetchall()
        return [msgspec.structs.replace(StoredLot(*lot), kept=bool(kept)) for *lot, kept in rows]

    def _recipes(self, query: str, *values: Value) -> list[StoredRecipe]:
        with reading_from(self._folder) as connection:
            rows = connection.execute(READING[query], values).fetchall()
            return [_stored_recipe(*row) for row in rows]


def _stored_recipe(body: bytes, document: str, updated_us: int) -> StoredRecipe:
    kept = msgspec.json.decode(body, type=RecipeKept)
    return StoredRecipe(kept.recipe, document, updated_us)
