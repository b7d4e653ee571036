"""The JSON that the service takes and gives; OpenAPI is made from these.

Times are RFC 3339 UTC, temperatures °C, masses g.
"""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field


class Body(BaseModel):
    """What a caller sends; a key that is not known is refused."""

    model_config = ConfigDict(extra="forbid", strict=True)


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


class VerdictRequest(Body):
    """The maker's word on how a lot came out."""

    good: bool
    note: str = Field("", max_length=1000)


class KeepRequest(Body):
    """A lot's readings are to be kept for good, or no longer."""

    note: str = Field("", max_length=1000)


class AcknowledgeRequest(Body):
    """An alarm has been seen."""

    note: str = Field("", max_length=1000)


class ShelveRequest(Body):
    """An alarm is put aside for a time; screens ask for a reason, older callers give none."""

    minutes: float = Field(gt=0, le=24 * 60)
    reason: str = Field("", max_length=200)


class ReadingRequest(Body):
    """A reading typed in."""

    value: float = Field(allow_inf_nan=False)
    unit: str


class Bounds(BaseModel):
    """What is allowed; null is no bound."""

    low: float | None
    high: float | None


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
    evidence: str
    rests_on: Evidence | None = Field(description="the readings in which the scale showed it")


class MarkShown(BaseModel):
    """A person's mark."""

    phase: str
    edge: str
    at: str
    contradicted: str | None = Field(description="what the scale showed against it")


class AlarmShown(BaseModel):
    """An alarm as it stands; in a lot it is a deviation."""

    id: str
    lot: str | None
    bench: str | None
    rule: str
    priority: str
    phase: str | None
    pitcher: int | None
    vessel: int | None
    subject: str | None
    limit: Bounds
    measured: float | None
    unit: str
    message: str
    advice: str
    raised_at: str
    cleared_at: str | None
    outcome: str | None
    acknowledged_at: str | None
    note: str | None
    latched: bool
    reset_at: str | None
    shelved_until: str | None
    shelved_reason: str | None
    suppressed_by: str | None
    out_of_service: str | None
    folded_into: str | None
    state: Literal[
        "active",
        "acknowledged",
        "cleared",
        "latched",
        "shelved",
        "suppressed",
        "out of service",
        "ended",
    ]


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


class PitcherShown(BaseModel):
    """What goes into one pitcher."""

    pitcher: int
    vessels: int
    mix: float
    wax: float
    fragrance: float


class LoadLimitShown(BaseModel):
    """The most fragrance that somebody allows, and the lot's load, in percent of `basis`."""

    by: str
    basis: Literal["wax", "total"]
    most: float
    load: float


class PotShown(BaseModel):
    """What the pot of a pour day holds, `residue` included; null is not known."""

    pour_day: str
    must_hold: float
    residue: float
    melted: float | None
    drawn: float
    left: float | None
    needed: float
    enough: bool | None
    message: str


class SheetShown(BaseModel):
    """The computed grams of a lot; `load` in percent of `load_of`.

    `volume` in mL where the recipe gives the vessel so; `pot` where the lot is on a pour day.
    """

    vessels: int
    fill: float
    mix: float
    wax: float
    fragrance: float
    load: float
    load_of: Literal["wax", "total"]
    volume: float | None
    limits: list[LoadLimitShown]
    pitchers: list[PitcherShown]
    pot: PotShown | None


class Windows(BaseModel):
    """The temperature windows of a recipe."""

    add: Bounds | None
    pour: Bounds | None


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
    role: str


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


class RecipeName(BaseModel):
    """A recipe that was kept."""

    name: str


class RecipeEntry(BaseModel):
    """A recipe as it was last kept, with the document it came in."""

    name: str
    phases: list[str]
    recipe: dict[str, Any]


class CurveShown(BaseModel):
    """A curve, reduced so that peaks stay; `t` in seconds since 1970, null values are gaps."""

    channel: str
    unit: str
    t: list[float]
    value: list[float | None]


class ReadingShown(BaseModel):
    """The latest reading of an instrument."""

    value: float
    unit: str
    quality: str
    taken_at: str


class InstrumentShown(BaseModel):
    """An instrument as it stands."""

    name: str
    bench: str
    role: str
    kind: str
    state: Literal["reading", "silent", "lost", "waiting"]
    reason: str | None
    remedy: str | None
    rejected: dict[str, int]
    last: ReadingShown | None


class ReadingTaken(BaseModel):
    """A reading that was typed in."""

    taken_at: str


class DisplayShown(BaseModel):
    """The units that the workshop reads."""

    temperature: Literal["degC", "degF"]
    mass: Literal["g", "oz"]


class WorkshopShown(BaseModel):
    """The workshop; `trouble` says what keeps the service from writing, `notice` what may soon."""

    name: str
    timezone: str
    display: DisplayShown
    benches: list[str]
    speed: float
    now: str
    trouble: str | None
    notice: str | None


class StepShown(BaseModel):
    """One phase of the strip."""

    phase: str
    state: Literal["done", "now", "next", "ahead", "skipped"]


class NextMark(BaseModel):
    """What the one big button does now."""

    phase: str
    edge: str


class SpanShown(BaseModel):
    """Seconds until something happens: nine times in ten between `soonest` and `latest`."""

    soonest: float
    likely: float
    latest: float


class TemperatureTask(BaseModel):
    """The temperature that matters now, its window, and when that opens and closes.

    The seconds count from the status's `at`. A window that is open has no `opens_in_s`; `why`
    says why a time is missing.
    """

    channel: str
    what: Literal["add", "pour"] | None
    low: float | None
    high: float | None
    opens_in_s: SpanShown | None
    closes_in_s: SpanShown | None
    trend_degc_per_min: float | None
    why: str | None


class ScaleTask(BaseModel):
    """What is weighed now; shown is the live reading less `base`."""

    channel: str
    what: str | None
    base: float | None
    target: float | None
    tolerance: float | None


class BenchShown(BaseModel):
    """A bench as its screen shows it."""

    bench: str
    at: str
    lot: str | None
    recipe: str | None
    vessels: int | None
    phase: str | None
    phase_began: str | None
    phase_until: str | None
    pitcher: int | None
    pitchers: int | None
    steps: list[StepShown]
    next_mark: NextMark | None
    do: str
    detail: str
    temperature: TemperatureTask | None
    scale: ScaleTask | None
