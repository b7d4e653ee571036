"""What waits in an outbox: the readings and events of one commit, to be sent to one target."""

import sqlite3
from collections.abc import Collection, Mapping, Sequence

import msgspec

from collector.events import decode
from collector.readings import Reading
from collector.store.queries import SENDING
from collector.store.records import StoredEvent

Targets = Sequence[str] | Mapping[str, Collection[str] | None]
"""Where commits are also to be sent: names, or names with the channels that each is sent; None,
or a plain name, is all of them."""

_READINGS = msgspec.msgpack.Decoder(tuple[Reading, ...])
_ENCODER = msgspec.msgpack.Encoder()


class Consignment(msgspec.Struct, frozen=True):
    """One commit that waits for a target; `id` grows with every commit of the store."""

    id: int
    readings: tuple[Reading, ...]
    events: tuple[StoredEvent, ...]


class Refusal(msgspec.Struct, frozen=True):
    """A piece that a target refused for good: when (UTC microseconds), why, and its text."""

    refused_us: int
    reason: str
    body: str


def pack_readings(readings: Sequence[Reading]) -> bytes:
    """Return readings as the outbox holds them."""
    return _ENCODER.encode(readings)


def unpack_readings(body: bytes) -> tuple[Reading, ...]:
    """Return what `pack_readings` packed."""
    return _READINGS.decode(body)


def consign(
    connection: sqlite3.Connection,
    target: str,
    readings: Sequence[Reading],
    numbers: Sequence[int],
    channels: Collection[str] | None = None,
) -> None:
    """Leave a commit for a target; `numbers` are its events' in the journal.

    Where the target is sent some `channels` only, the readings of others are left out, and a
    commit that holds nothing else. Raises sqlite3.Error.
    """
    if channels is not None:
        readings = [reading for reading in readings if reading.channel in channels]
        if not readings and not numbers:
            return
    events = (numbers[0], numbers[-1]) if numbers else (None, None)
    connection.execute(SENDING["consign"], (target, *events, pack_readings(readings)))


def waiting(
    connection: sqlite3.Connection, target: str, after: int, limit: int
) -> list[Consignment]:
    """Return at most `limit` commits that wait for a target, those after number `after`.

    Raises sqlite3.Error.
    """
    rows = connection.execute(SENDING["waiting"], (target, after, limit)).fetchall()
    return [
        Consignment(number, unpack_readings(body), _events(connection, first, last))
        for number, first, last, body in rows
    ]


def _events(
    connection: sqlite3.Connection, first: int | None, last: int | None
) -> tuple[StoredEvent, ...]:
    if first is None:
        return ()
    rows = connection.execute(SENDING["consigned_events"], (first, last)).fetchall()
    return tuple(StoredEvent(seq, decode(body)) for seq, body in rows)
