"""Batch sheets and pots as JSON."""

from typing import Literal

from pydantic import BaseModel


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
