"""Stored readings whose times turned out wrong: moved as a step of the clock says.

Only rows are moved, and what still waits to be sent; what is sealed or sent already stays as it
is.
"""

import sqlite3
from collections.abc import Mapping

from collector.clock_steps import Move, moved_readings
from collector.store.consignments import pack_readings, unpack_readings
from collector.store.queries import CORRECTING


def move_readings(connection: sqlite3.Connection, moves: Mapping[str, Move]) -> None:
    """Move the readings of some channels, in the transaction that is open.

    Raises sqlite3.Error.
    """
    for channel, move in moves.items():
        span = {"channel": channel, "after_us": move.after_us, "until_us": move.until_us}
        if move.drawn_in:
            connection.execute(CORRECTING["draw_in"], {**span, "factor": move.factor})
        elif abs(move.by_us) >= move.until_us - move.after_us:
            connection.execute(CORRECTING["leap"], {**span, "by_us": move.by_us})
            continue
        else:
            connection.execute(CORRECTING["shift"], {**span, "by_us": move.by_us})
        connection.execute(CORRECTING["arrive"], {"channel": channel})
    _move_waiting(connection, moves)


def _move_waiting(connection: sqlite3.Connection, moves: Mapping[str, Move]) -> None:
    """Move what waits in the outboxes, by the same rule."""
    for number, body in connection.execute(CORRECTING["consigned"]).fetchall():
        before = list(unpack_readings(body))
        after = moved_readings(before, moves)
        if after != before:
            connection.execute(CORRECTING["consign_again"], (pack_readings(after), number))
