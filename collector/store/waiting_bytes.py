"""How much of the file holds what waits to be sent elsewhere, or was refused there: an estimate.

Counting it exactly reads all of it, which would hold up commits where a target is away for weeks.
So the rows are counted out of an index, and some of them, evenly spread, are measured.
"""

import sqlite3

from collector.store.queries import SENDING

SAMPLED = 64
"""Rows that are measured of each table."""

PAGE_BYTES = 4_096
"""A page of the file, as SQLite makes it unless told otherwise."""

_HEAD_BYTES = 8  # of a leaf page
_CELL_BYTES = 16  # of a row beside its texts and blobs: place, lengths, numbers
_INDEX_BYTES = 24  # of a row's entry in its index, for targets with short names


def waiting_bytes(connection: sqlite3.Connection) -> int:
    """Return about how many bytes of pages the outboxes and what was refused take.

    Raises sqlite3.Error.
    """
    return sum(_of_table(connection, table) for table in ("outbox", "refused"))


def row_bytes(payload: int) -> float:
    """Return the share of pages that a row with so many bytes takes among others of its size.

    What fits into a page is stored there, as many rows as find room; of a longer row a part stays
    there and the rest fills pages of its own. https://www.sqlite.org/fileformat2.html#b_tree_pages
    """
    most, least = PAGE_BYTES - 35, (PAGE_BYTES - 12) * 32 // 255 - 23
    local, pages = payload, 0
    if payload > most:
        spill = PAGE_BYTES - 4
        local = least + (payload - least) % spill
        local = local if local <= most else least
        pages = -(-(payload - local) // spill)
    beside = max(1, (PAGE_BYTES - _HEAD_BYTES) // (local + _CELL_BYTES))
    return PAGE_BYTES / beside + PAGE_BYTES * pages


def _of_table(connection: sqlite3.Connection, table: str) -> int:
    (count,) = connection.execute(SENDING[f"{table}_count"]).fetchone()
    sample = connection.execute(SENDING[f"{table}_sample"], {"most": SAMPLED}).fetchall()
    if not sample:
        return 0
    mean = sum(row_bytes(payload) for (payload,) in sample) / len(sample)
    return round(int(count) * (mean + _INDEX_BYTES))
