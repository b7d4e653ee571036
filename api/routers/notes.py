"""Notes about a lot over HTTP."""

from fastapi import APIRouter

from api import note_presenting
from api.dependencies import Running
from api.note_reading import standing, standing_note
from api.note_shapes import NoteRequest, NoteShown, TakeBackRequest
from collector.lot_notes import Note
from collector.note_events import NoteTakenBack, NoteWritten

router = APIRouter(prefix="/api/lots/{lot}/notes", tags=["lots"])


@router.post("", status_code=201)
async def write_note(workshop: Running, lot: str, wanted: NoteRequest) -> NoteShown:
    """Write something about a lot, open or closed; nothing is judged by it."""
    async with workshop.noting:
        opened, notes = await standing(workshop, lot)
        bench, name = opened.bench, notes.next_note

        def written(at_us: int) -> NoteWritten:
            return NoteWritten(at_us=at_us, bench=bench, lot=lot, note=name, text=wanted.text)

        given = await workshop.pipeline.give(bench, written)
    return note_presenting.note(Note(written(given.at_us)))


@router.post("/{note}/remove")
async def take_note_back(
    workshop: Running, lot: str, note: str, wanted: TakeBackRequest
) -> NoteShown:
    """Take a note back: the journal keeps it, and the record shows it as taken back."""
    async with workshop.noting:
        opened, notes = await standing(workshop, lot)
        found = standing_note(notes, lot, note)
        bench, reason = opened.bench, wanted.reason

        def taken_back(at_us: int) -> NoteTakenBack:
            return NoteTakenBack(at_us=at_us, bench=bench, lot=lot, note=note, reason=reason)

        given = await workshop.pipeline.give(bench, taken_back)
    return note_presenting.note(Note(found.written, taken_back(given.at_us)))
