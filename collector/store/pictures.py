"""The bytes of photographs: on disk before their event, and gone with the last that shows them.

They arrive in a transaction of their own. The event that tells of them comes like any other: at
its place in time among what a bench is fed, and never held up by megabytes that a full disk
refuses. Until it is in the journal they belong to nothing, and a service that starts forgets
what its predecessor did not live to tell of.
"""

import sqlite3
from hashlib import sha256

from collector.events import AnyEvent
from collector.note_events import PhotographKept, PhotographTakenBack
from collector.store.queries import PICTURING
from collector.store.waiting_bytes import row_bytes


def digest_of(body: bytes) -> str:
    """Return what a picture is known by: the SHA-256 of its bytes, in hex."""
    return sha256(body).hexdigest()


def lay_down(connection: sqlite3.Connection, body: bytes) -> str:
    """Keep a picture for an event that is about to come; return its digest.

    Raises sqlite3.Error.
    """
    digest = digest_of(body)
    connection.execute(PICTURING["arrive"], (digest,))
    connection.execute(PICTURING["keep"], (digest, body))
    return digest


def follow(connection: sqlite3.Connection, event: AnyEvent) -> None:
    """Make the change that an event means for the pictures, in its own transaction.

    Raises sqlite3.Error.
    """
    if isinstance(event, PhotographKept):
        connection.execute(PICTURING["told"], (event.digest,))
    elif isinstance(event, PhotographTakenBack):
        _drop(connection, event.digest)


def forget_untold(connection: sqlite3.Connection) -> int:
    """Drop the pictures that no event tells of, as a store is opened; return how many.

    Raises sqlite3.Error.
    """
    untold = connection.execute(PICTURING["arriving"]).fetchall()
    for (digest,) in untold:
        connection.execute(PICTURING["told"], (digest,))
        _drop(connection, digest)
    return len(untold)


def _drop(connection: sqlite3.Connection, digest: str) -> None:
    """Drop a picture that nothing shows, and overwrite where it lay: it may be of a face."""
    connection.execute("PRAGMA secure_delete = ON").fetchall()
    try:
        connection.execute(PICTURING["drop_unshown"], {"digest": digest})
    finally:
        # Not for what is sealed or expires: it would write every such page once more.
        connection.execute("PRAGMA secure_delete = OFF").fetchall()


def picture_bytes(connection: sqlite3.Connection) -> int:
    """Return about how many bytes of pages pictures take. Raises sqlite3.Error."""
    sizes = connection.execute(PICTURING["sizes"]).fetchall()
    return round(sum(row_bytes(size) for _digest, size in sizes))
