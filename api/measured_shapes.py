"""What was measured of each pitcher where the recipe asks for something, as JSON."""

from pydantic import BaseModel, Field


class TemperatureThen(BaseModel):
    """The pitcher's temperature at a moment; `value` is null where no probe told."""

    at: str
    value: float | None
    off: bool = Field(description="outside the recipe's window by more than a probe's error")


class LoadReached(BaseModel):
    """The fragrance that is really in the wax, in percent on either basis."""

    of_wax: float
    of_total: float


class PitcherMeasured(BaseModel):
    """One pitcher of a lot at the moments that matter."""

    pitcher: int
    channel: str | None = Field(description="the thermometer; null where there is none")
    apart: bool = Field(description="whether the fragrance was weighed into a beaker of its own")
    added: TemperatureThen | None = Field(
        description="when the fragrance began to go into the wax; null where that was not seen"
    )
    pour_began: TemperatureThen | None
    pour_ended: TemperatureThen | None
    load: LoadReached | None
