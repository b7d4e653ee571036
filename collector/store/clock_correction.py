"""Stored readings whose times turned out wrong: moved as a step of the clock says.

Only rows are moved, and what still waits to be sent; what is sealed or sent already stays as it
is.
"""

import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Mapping

from collector.clock_steps import Move, Places, moved_readings
from collector.readings import Reading
from collector.store.consignments import pack_readings, unpack_readings
from collector.store.queries import CORRECTING


def move_readings(
    connection: sqlite3.Connection, readings: Iterable[Reading], moves: Mapping[str, Move]
) -> list[Reading]:
    """Move the stored readings of some channels, in the transaction that is open.

    Returns `readings`, which are not stored yet, moved by the same rule. Raises sqlite3.Error.
    """
    waiting = list(readings)
    places = _places(connection, waiting, moves)
    for channel, move in moves.items():
        if move.drawn_in:
            _place(connection, channel, places[channel])
        else:
            _shift(connection, channel, move)
    _move_consigned(connection, places)
    return moved_readings(waiting, places)


def _places(
    connection: sqlite3.Connection, waiting: Iterable[Reading], moves: Mapping[str, Move]
) -> Places:
    """Return where readings go: one rule for rows, outboxes and what is not stored yet."""
    times: dict[str, set[int]] = defaultdict(set)
    for reading in waiting:
        times[reading.channel].add(reading.taken_us)
    for _, body in connection.execute(CORRECTING["consigned"]).fetchall():
        for reading in unpack_readings(body):
            times[reading.channel].add(reading.taken_us)
    for channel, move in moves.items():
        if move.drawn_in:
            rows = connection.execute(CORRECTING["times"], _span(channel, move)).fetchall()
            times[channel].update(taken_us for (taken_us,) in rows)
    return {channel: move.places(times[channel]) for channel, move in moves.items()}


def _span(channel: str, move: Move) -> dict[str, str | int]:
    return {"channel": channel, "after_us": move.after_us, "until_us": move.until_us}


def _place(connection: sqlite3.Connection, channel: str, places: Mapping[int, int]) -> None:
    """Move rows one by one, the first first: drawn in, none meets one that has still to move."""
    steps = [
        {"channel": channel, "at_us": at_us, "to_us": to_us} for at_us, to_us in places.items()
    ]
    connection.executemany(CORRECTING["place"], steps)


def _shift(connection: sqlite3.Connection, channel: str, move: Move) -> None:
    span = {**_span(channel, move), "by_us": move.by_us}
    if abs(move.by_us) >= move.until_us - move.after_us:
        connection.execute(CORRECTING["leap"], span)
    else:
        connection.execute(CORRECTING["shift"], span)
        connection.execute(CORRECTING["arrive"], {"channel": channel})


def _move_consigned(connection: sqlite3.Connection, places: Places) -> None:
    """Move what waits in the outboxes."""
    for number, body in connection.execute(CORRECTING["consigned"]).fetchall():
        before = list(unpack_readings(body))
        after = moved_readings(before, places)
        if after != before:
            connection.execute(CORRECTING["consign_again"], (pack_readings(after), number))
