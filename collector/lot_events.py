"""What a person says of recipes, lots and pour days."""

import msgspec

from collector.attendance import Unattended
from collector.band import Band
from collector.display import Display
from collector.event_base import Given
from collector.phases import Edge, PhaseName
from collector.pot import Pot
from collector.readings import Channel
from collector.recipes import Recipe


class RecipeKept(Given, frozen=True, kw_only=True, tag="recipe-kept"):
    """A recipe was added or changed; `document` is its JSON as it came in."""

    recipe: Recipe
    document: msgspec.Raw


class OutOfService(msgspec.Struct, frozen=True):
    """A rule that a bench does not announce at present, for all or for one channel or phase."""

    rule: str
    subject: str | None
    reason: str


class LotOpened(Given, frozen=True, kw_only=True, tag="lot-opened"):
    """A lot began, with its own copy of all that its judgment depends on."""

    recipe: Recipe
    vessels: int
    channels: tuple[Channel, ...]
    display: Display = Display()
    unattended: Unattended | None = None
    band: Band | None = None
    out_of_service: tuple[OutOfService, ...] = ()
    pour_day: str | None = None
    pot: Pot | None = None


class LotClosed(Given, frozen=True, kw_only=True, tag="lot-closed"):
    """A person says that the bench is done with the lot."""


class LotJudged(Given, frozen=True, kw_only=True, tag="lot-judged"):
    """The maker says whether a lot came out well: good lots form the recipe's band."""

    good: bool
    note: str = ""


class LotKept(Given, frozen=True, kw_only=True, tag="lot-kept"):
    """A person says that the readings of a lot are to be kept for good."""

    note: str = ""


class LotReleased(Given, frozen=True, kw_only=True, tag="lot-released"):
    """A person says that the readings of a lot need not be kept any longer than others."""

    note: str = ""


class PlannedLot(msgspec.Struct, frozen=True):
    """A lot of a pour day before it is opened."""

    recipe: Recipe
    vessels: int


class PourDayPlanned(Given, frozen=True, kw_only=True, tag="pour-day-planned"):
    """Several lots are to be made out of one pot, in this order; 0.001 g.

    `melted_mg` is the wax melted in the pot, None where nobody said; `residue_mg` is what stays
    on the pot's wall. A later event of the same day takes the place of an earlier one.
    """

    day: str
    lots: tuple[PlannedLot, ...]
    melted_mg: int | None
    residue_mg: int


class PotTold(Given, frozen=True, kw_only=True, tag="pot-told"):
    """An open lot's pour day was planned again; None where nobody knows now what the pot holds."""

    pot: Pot | None


class PhaseMarked(Given, frozen=True, kw_only=True, tag="phase-marked"):
    """A person says that a phase begins or ends."""

    phase: PhaseName
    edge: Edge
    aftercare: bool = False
    """Whether it concerns what a lot goes through after the bench is done with it."""


class MarkWithdrawn(Given, frozen=True, kw_only=True, tag="mark-withdrawn"):
    """A person takes back the mark that she made at `marked_us`: it was made by mistake.

    What the bench had concluded from it is told anew as if the mark had never been made.
    """

    phase: PhaseName
    edge: Edge
    marked_us: int
    aftercare: bool = False
    """Whether the mark concerned what a lot goes through after the bench is done with it."""
