"""Notes and photographs in the shapes that the outside sees."""

from api.instants import instant
from api.note_shapes import NoteShown, PhotographShown, TakenBack
from collector.lot_notes import Note, Photograph
from collector.note_events import NoteTakenBack, PhotographTakenBack


def note(kept: Note) -> NoteShown:
    """Show a note; what was taken back can still be read, as in a book it is struck through."""
    written = kept.written
    return NoteShown(
        id=written.note,
        at=instant(written.at_us),
        text=written.text,
        removed=_taken_back(kept.taken_back),
    )


def photograph(one: Photograph) -> PhotographShown:
    """Show what is known of a photograph."""
    kept = one.kept
    return PhotographShown(
        id=kept.photograph,
        at=instant(kept.at_us),
        caption=kept.caption,
        media_type=kept.media_type,
        width=kept.width,
        height=kept.height,
        bytes=kept.size,
        sha256=kept.digest,
        removed=_taken_back(one.taken_back),
    )


def _taken_back(event: NoteTakenBack | PhotographTakenBack | None) -> TakenBack | None:
    return None if event is None else TakenBack(at=instant(event.at_us), reason=event.reason)
