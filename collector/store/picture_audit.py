"""Are the bytes of every photograph there? Each is hashed again and compared with its name."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing

from collector.store.faults import Fault
from collector.store.pictures import digest_of
from collector.store.queries import PICTURING

_RESTORE = "Restore the last backup, or take the photograph back."


def audit_pictures(connection: sqlite3.Connection) -> Iterator[Fault]:
    """Give each photograph whose bytes are missing or changed, and bytes that none shows.

    Raises sqlite3.Error.
    """
    photographs = connection.execute(PICTURING["photographs"]).fetchall()
    arriving = {digest for (digest,) in connection.execute(PICTURING["arriving"]).fetchall()}
    sound, changed = _checked(connection)
    for lot, photograph, digest in photographs:
        place = f"photograph {photograph} of lot {lot}"
        if digest in changed:
            yield Fault(place, f"Its bytes were changed after it was kept. {_RESTORE}")
        elif digest not in sound:
            yield Fault(place, f"Its bytes are missing from the store. {_RESTORE}")
    shown = {digest for *_, digest in photographs}
    for digest in sorted((sound | changed) - shown - arriving):
        yield Fault(f"picture {digest[:12]}", "Its bytes are stored, but no lot shows them.")


def _checked(connection: sqlite3.Connection) -> tuple[set[str], set[str]]:
    """Return the digests of the pictures that are as they were kept, and of the others."""
    sound: set[str] = set()
    changed: set[str] = set()
    with closing(connection.execute(PICTURING["all"])) as rows:
        for digest, body in rows:  # one at a time: each may have megabytes
            (sound if digest_of(body) == digest else changed).add(digest)
    return sound, changed
