"""The notes and photographs of a lot, folded out of its events."""

from collections.abc import Iterable

import msgspec

from collector.event_base import Event
from collector.note_events import (
    NoteTakenBack,
    NoteWritten,
    PhotographKept,
    PhotographTakenBack,
)


class Note(msgspec.Struct, frozen=True):
    """A note, and that it was taken back where it was."""

    written: NoteWritten
    taken_back: NoteTakenBack | None = None


class Photograph(msgspec.Struct, frozen=True):
    """A photograph, and that it was taken back where it was: then its bytes are gone."""

    kept: PhotographKept
    taken_back: PhotographTakenBack | None = None


class LotNotes(msgspec.Struct, frozen=True):
    """All that was written and photographed of a lot, by name, in order."""

    notes: dict[str, Note] = {}
    photographs: dict[str, Photograph] = {}

    def after(self, events: Iterable[Event]) -> "LotNotes":
        """Return how it stands after more events; one that was counted before changes nothing."""
        notes, photographs = dict(self.notes), dict(self.photographs)
        for event in events:
            match event:
                case NoteWritten():
                    notes.setdefault(event.note, Note(event))
                case NoteTakenBack() if event.note in notes:
                    notes[event.note] = Note(notes[event.note].written, event)
                case PhotographKept():
                    photographs.setdefault(event.photograph, Photograph(event))
                case PhotographTakenBack() if event.photograph in photographs:
                    kept = photographs[event.photograph].kept
                    photographs[event.photograph] = Photograph(kept, event)
                case _:
                    pass
        return LotNotes(notes, photographs)

    @property
    def next_note(self) -> str:
        """The name of the next note: none is given twice, for none is forgotten."""
        return f"n{len(self.notes) + 1}"

    @property
    def next_photograph(self) -> str:
        """The name of the next photograph."""
        return f"p{len(self.photographs) + 1}"

    @property
    def shown(self) -> list[Photograph]:
        """The photographs whose bytes are there."""
        return [one for one in self.photographs.values() if one.taken_back is None]

    def same(self, digest: str) -> Photograph | None:
        """Return the photograph with the same bytes, None where there is none any more."""
        return next((one for one in self.shown if one.kept.digest == digest), None)
