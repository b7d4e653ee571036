"""What a person writes beside a lot, and the photographs she keeps with it.

They are of people for people: nothing is judged by them. The journal keeps that they were there
also where they are taken back.
"""

from collector.event_base import Given


class NoteWritten(Given, frozen=True, kw_only=True, tag="note-written"):
    """A person wrote something about a lot, open or closed; `note` is its name in the lot."""

    note: str
    text: str


class NoteTakenBack(Given, frozen=True, kw_only=True, tag="note-taken-back"):
    """A person took a note back: it stays in the journal, and is shown as taken back."""

    note: str
    reason: str


class PhotographKept(Given, frozen=True, kw_only=True, tag="photograph-kept"):
    """A photograph was kept with a lot; `photograph` is its name in the lot.

    Its bytes are in the store under `digest`, their SHA-256 in hex. `width` and `height` are in
    pixels, None where the picture does not say.
    """

    photograph: str
    digest: str
    media_type: str
    size: int
    """Bytes."""
    width: int | None
    height: int | None
    caption: str = ""


class PhotographTakenBack(Given, frozen=True, kw_only=True, tag="photograph-taken-back"):
    """A person took a photograph back: its bytes are gone, unless it is kept elsewhere too."""

    photograph: str
    digest: str
    reason: str
