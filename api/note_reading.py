"""Where a lot's notes and photographs stand, for those who are about to change them."""

import asyncio

from api.instants import instant
from api.lot_reading import read_record
from collector.errors import ConflictError, NotFoundError
from collector.lot_events import LotOpened
from collector.lot_notes import LotNotes, Note, Photograph
from collector.lots import LotMove, moved
from collector.workshop import Workshop


async def standing(workshop: Workshop, lot: str) -> tuple[LotOpened, LotNotes]:
    """Return a lot's notes as they will be once all that waits is on disk.

    Hold `workshop.noting` over this and the change that follows. Raises NotFoundError.
    """
    waiting = workshop.batch.unwritten  # first: what is written meanwhile is then in both
    record = await asyncio.to_thread(read_record, workshop.history, lot)
    moved(lot, record.state, LotMove.NOTE)
    return record.opened, record.notes.after(event for event in waiting if event.lot == lot)


def standing_note(notes: LotNotes, lot: str, name: str) -> Note:
    """Return a note that can be taken back. Raises NotFoundError, ConflictError."""
    found = notes.notes.get(name)
    if found is None:
        raise NotFoundError(f"Lot {lot} has no note {name!r}. GET /api/lots/{lot} shows them.")
    if found.taken_back is not None:
        at = instant(found.taken_back.at_us)
        raise ConflictError(f"Note {name} of lot {lot} was taken back already, at {at}.")
    return found


def standing_photograph(notes: LotNotes, lot: str, name: str) -> Photograph:
    """Return a photograph that can be taken back. Raises NotFoundError, ConflictError."""
    found = notes.photographs.get(name)
    if found is None:
        raise NotFoundError(
            f"Lot {lot} has no photograph {name!r}. GET /api/lots/{lot} shows them."
        )
    if found.taken_back is not None:
        at = instant(found.taken_back.at_us)
        raise ConflictError(f"Photograph {name} of lot {lot} was taken back already, at {at}.")
    return found
