"""Instruments and their readings as JSON."""

from typing import Literal

from pydantic import BaseModel, Field

from api.shapes import Body, QualityName, UnitName
from collector.readings import Role


class ReadingRequest(Body):
    """A reading typed in."""

    value: float = Field(allow_inf_nan=False)
    unit: str


class ReadingShown(BaseModel):
    """The latest reading of an instrument."""

    value: float
    unit: UnitName
    quality: QualityName
    taken_at: str


class InstrumentShown(BaseModel):
    """An instrument as it stands."""

    name: str
    bench: str
    role: Role
    kind: str
    state: Literal["reading", "silent", "lost", "waiting"]
    reason: str | None
    remedy: str | None
    rejected: dict[str, int]
    last: ReadingShown | None


class ReadingTaken(BaseModel):
    """A reading that was typed in."""

    taken_at: str
