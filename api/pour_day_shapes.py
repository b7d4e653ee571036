"""The JSON of pour days; masses g."""

from typing import Literal

from pydantic import BaseModel, Field

from api.shapes import Body
from api.sheet_shapes import PotShown


class PlannedLotRequest(Body):
    """A lot of a pour day."""

    recipe: str = Field(min_length=1)
    vessels: int = Field(ge=1, le=1000)


class PourDayRequest(Body):
    """Plan a pour day; masses as text with their unit, `melted` null where nobody knows."""

    lots: list[PlannedLotRequest] = Field(min_length=1, max_length=50)
    melted: str | None = None
    residue: str = "0 g"


class PreviewRequest(PourDayRequest):
    """A plan to be worked out and not kept; `day` names the pour day that it would replace."""

    day: str | None = None


class PitcherOfDayShown(BaseModel):
    """One pitcher of a pour day: planned, drawn (null before), and still needed."""

    pitcher: int
    vessels: int
    wax: float
    fragrance: float
    drawn: float | None
    needed: float


class LotOfDayShown(BaseModel):
    """One lot of a pour day."""

    recipe: str
    vessels: int
    lot: str | None
    state: Literal["planned", "open", "closed"]
    wax: float
    drawn: float
    needed: float
    pitchers: list[PitcherOfDayShown]


class PourDayShown(BaseModel):
    """A pour day with its pot and its lots, in order."""

    id: str
    planned_at: str
    pot: PotShown
    lots: list[LotOfDayShown]


class PourDayId(BaseModel):
    """A pour day that was planned."""

    id: str
