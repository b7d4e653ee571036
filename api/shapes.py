"""What the JSON of several nouns has in common; OpenAPI is made from all of these.

Times are RFC 3339 UTC, temperatures °C, masses g.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict

UnitName = Literal["degC", "g", "%RH", "Pa"]
"""The units of readings."""

QualityName = Literal["good", "in motion", "suspect", "bad"]
"""How far a reading can be trusted, the best first."""


class Body(BaseModel):
    """What a caller sends; a key that is not known is refused."""

    model_config = ConfigDict(extra="forbid", strict=True)


class Bounds(BaseModel):
    """What is allowed; null is no bound."""

    low: float | None
    high: float | None


class CurveShown(BaseModel):
    """A curve, reduced so that peaks stay; `t` in seconds since 1970, null values are gaps."""

    channel: str
    unit: str
    t: list[float]
    value: list[float | None]
