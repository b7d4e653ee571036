"""Notes and photographs of a lot as JSON: what is asked of them and what is shown."""

from typing import Annotated

from pydantic import BaseModel, Field, StringConstraints

from api.shapes import Body

MOST_TEXT = 2000
MOST_CAPTION = 300

Reason = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=MOST_CAPTION)
]


class NoteRequest(Body):
    """Write something about a lot."""

    text: Annotated[
        str, StringConstraints(strip_whitespace=True, min_length=1, max_length=MOST_TEXT)
    ]


class TakeBackRequest(Body):
    """Take a note or a photograph back, and say why."""

    reason: Reason


class TakenBack(BaseModel):
    """When a note or a photograph was taken back, and why."""

    at: str
    reason: str


class NoteShown(BaseModel):
    """What a person wrote about a lot."""

    id: str
    at: str
    text: str
    removed: TakenBack | None = Field(description="null while it stands")


class PhotographShown(BaseModel):
    """A photograph of a lot; `bytes` is its size, pixels are null where it does not say."""

    id: str
    at: str
    caption: str
    media_type: str
    width: int | None
    height: int | None
    bytes: int
    sha256: str
    removed: TakenBack | None = Field(description="once it says when, its bytes are gone")
