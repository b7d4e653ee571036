"""Calibrations as JSON: degC and g as plain numbers, `gain` as a factor."""

from typing import Literal

from pydantic import BaseModel, Field

from api.shapes import Body, UnitName

FAR = 1_000_000
"""Far beyond any reference in degC or g, and small enough to count in thousandths."""


class PointGiven(Body):
    """What was shown where the true value was known; `of` says what was measured."""

    reference: float = Field(ge=-FAR, le=FAR, allow_inf_nan=False)
    shown: float = Field(ge=-FAR, le=FAR, allow_inf_nan=False)
    of: str = Field(default="", max_length=100)


class FitRequest(Body):
    """Points of which a person wants to see the line."""

    points: list[PointGiven] = Field(max_length=20)


class CalibrationRequest(FitRequest):
    """Points whose line is to be kept; `note` says by whom or with what."""

    note: str = Field(default="", max_length=1000)


class WithdrawRequest(Body):
    """Why the readings are to be kept as shown again."""

    note: str = Field(default="", max_length=1000)


class LineShown(BaseModel):
    """A correction: `gain` times the shown value, plus `offset`, rounded to `step`."""

    offset: float
    gain: float
    step: float


class PointShown(BaseModel):
    """A point of a calibration that is kept."""

    reference: float
    shown: float
    of: str


class PointFitted(PointShown):
    """A point, what the line makes of it, and by how much the reference is above the line."""

    corrected: float
    residual: float


class Example(BaseModel):
    """What a shown value is kept as: with the calibration of today, and with this one."""

    shown: float
    now: float
    then: float


class FitShown(LineShown):
    """What points come to; nothing is kept of it."""

    unit: UnitName
    resolution: float | None
    points: list[PointFitted]
    examples: list[Example]
    remarks: list[Literal["one point", "not straight", "nothing to correct"]]


class CalibrationShown(LineShown):
    """The calibration in force; `due` where it is older than twelve months."""

    at: str
    points: list[PointShown]
    note: str
    age_days: int
    due: bool


class CalibrationKept(BaseModel):
    """An entry of an instrument's history; a withdrawal has no line and no points."""

    at: str
    withdrawn: bool
    line: LineShown | None
    points: list[PointShown]
    note: str


class BoilingWater(BaseModel):
    """The temperature at which water boils under a pressure."""

    temperature: float
    pressure_hpa: float
