"""Instruments and their readings as JSON."""

from typing import Literal

from pydantic import BaseModel, Field

from api.calibration_shapes import CalibrationKept, CalibrationShown
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
    """An instrument as it stands.

    `rejected` counts, by reason, what came and was not understood; `not_kept` what was understood
    and confirmed to its sender, but has no place in this workshop. `readings` are those kept
    since the start of the service, `per_second` is how many came lately, in the workshop's own
    time; null until that can be told.
    """

    name: str
    bench: str
    role: Role
    kind: str
    state: Literal["reading", "silent", "lost", "waiting"]
    reason: str | None
    remedy: str | None
    rejected: dict[str, int]
    not_kept: dict[str, int]
    readings: int
    per_second: float | None
    last: ReadingShown | None
    calibration: CalibrationShown | None


class Fact(BaseModel):
    """One thing about how an instrument is connected, such as its port."""

    what: str
    value: str


class InstrumentInFull(InstrumentShown):
    """An instrument, how it is reached, and every calibration of it, the latest first.

    `silent_after` is how many seconds it may say nothing; `resolution` the smallest step of its
    display in degC or g, null where that cannot be told; `not_now` says why it cannot be
    calibrated at the moment, null where it can.
    """

    connection: list[Fact]
    silent_after: float | None
    resolution: float | None
    calibrations: list[CalibrationKept]
    not_now: str | None


class ReadingTaken(BaseModel):
    """A reading that was typed in, as it is kept: corrected where there is a calibration."""

    taken_at: str
    value: float
    unit: UnitName
