"""The workshop and its benches as JSON."""

from typing import Literal

from pydantic import BaseModel

from collector.phases import Edge


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
    edge: Edge


class UndoShown(BaseModel):
    """The latest mark, as long as it can be taken back: made `at`, until `until`."""

    phase: str
    edge: Edge
    at: str
    until: str


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
    undo: UndoShown | None
    do: str
    detail: str
    temperature: TemperatureTask | None
    scale: ScaleTask | None
