"""Lots as JSON: what is asked of them and what is shown."""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from api.alarm_shapes import AlarmShown
from api.shapes import Body
from api.sheet_shapes import SheetShown
from collector.conclusions import Source
from collector.phases import Edge
from collector.readings import Role


class LotRequest(Body):
    """Open a lot."""

    recipe: str = Field(min_length=1)
    vessels: int = Field(ge=1, le=1000)
    bench: str = Field(min_length=1)
    pour_day: str | None = None


class MarkRequest(Body):
    """A phase begins or ends."""

    phase: str
    edge: Literal["begin", "end"]


class UndoRequest(Body):
    """Take a mark back; without a time the latest one."""

    at: str | None = Field(None, description="when the mark was made, as the service tells it")


class VerdictRequest(Body):
    """The maker's word on how a lot came out."""

    good: bool
    note: str = Field("", max_length=1000)


class KeepRequest(Body):
    """A lot's readings are to be kept for good, or no longer."""

    note: str = Field("", max_length=1000)


class Evidence(BaseModel):
    """The readings that a weighing rests on: those of a channel in a span, ends included."""

    model_config = ConfigDict(populate_by_name=True)

    channel: str
    from_: str = Field(alias="from")
    to: str
    readings: int


class Weighing(BaseModel):
    """A settled mass that was accepted for a lot."""

    kind: Literal["wax", "fragrance", "fill"]
    pitcher: int
    vessel: int | None
    grams: float
    target: float
    tolerance: float
    at: str
    evidence: Evidence


class PhaseShown(BaseModel):
    """One phase of one pitcher as it went."""

    phase: str
    pitcher: int
    began: str
    ended: str | None
    seconds: float | None
    evidence: Source
    rests_on: Evidence | None = Field(description="the readings in which the scale showed it")


class MarkShown(BaseModel):
    """A person's mark."""

    phase: str
    edge: Edge
    at: str
    contradicted: str | None = Field(description="what the scale showed against it")
    withdrawn_at: str | None = Field(description="when it was taken back as a mistake")


class Gap(BaseModel):
    """A time in which nothing was collected."""

    model_config = ConfigDict(populate_by_name=True)

    from_: str = Field(alias="from")
    to: str


class LateShown(BaseModel):
    """A time of which readings came when the bench had gone on: kept, and not judged."""

    model_config = ConfigDict(populate_by_name=True)

    from_: str = Field(alias="from")
    to: str
    readings: int


class WindowShown(BaseModel):
    """A temperature window, both ends allowed."""

    low: float
    high: float


class Windows(BaseModel):
    """The temperature windows of a recipe."""

    add: WindowShown | None
    pour: WindowShown | None


class RecipeOfLot(BaseModel):
    """A lot's own copy of its recipe."""

    name: str
    phases: list[str]
    windows: Windows
    never_above: float | None
    stir_seconds: int | None
    document: dict[str, Any]


class ChannelShown(BaseModel):
    """A channel that a lot was recorded from."""

    channel: str
    role: Role


class Advice(BaseModel):
    """The next thing to do in an open lot."""

    do: str
    detail: str


class Verdict(BaseModel):
    """The maker's last word on how a lot came out."""

    good: bool
    note: str
    at: str


class LotEntry(BaseModel):
    """A lot in a line."""

    id: str
    bench: str
    recipe: str
    vessels: int
    state: Literal["open", "closed"]
    opened_at: str
    closed_at: str | None
    deviations: int
    fills: int
    kept: bool


class ClockOff(BaseModel):
    """At a time, the lot's times were found to lie so many seconds before the true ones.

    `seconds` is null where they are wrong and nobody knows by how much.
    """

    at: str
    seconds: float | None


class LotShown(BaseModel):
    """Everything about a lot."""

    id: str
    bench: str
    state: Literal["open", "closed"]
    vessels: int
    opened_at: str
    closed_at: str | None
    recipe: RecipeOfLot
    channels: list[ChannelShown]
    phases: list[PhaseShown]
    weighings: list[Weighing]
    marks: list[MarkShown]
    deviations: list[AlarmShown]
    gaps: list[Gap]
    clock_off: list[ClockOff]
    late: list[LateShown]
    verdict: Verdict | None
    kept: bool
    batch_sheet: SheetShown
    advice: Advice | None


class LotId(BaseModel):
    """A lot that was opened."""

    id: str


class LotClosedShown(BaseModel):
    """A lot that was closed."""

    id: str
    state: Literal["closed"] = "closed"


class Kept(BaseModel):
    """Whether a lot's readings are kept for good, and since when that holds."""

    id: str
    kept: bool
    note: str
    at: str


class MarkTaken(BaseModel):
    """When a mark was taken."""

    at: str


class MarkUndone(BaseModel):
    """The mark that was taken back, and when."""

    phase: str
    edge: Edge
    at: str
    withdrawn_at: str
