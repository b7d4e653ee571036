"""What the bench concludes of phases and weighings."""

from enum import StrEnum

import msgspec

from collector.event_base import Derived
from collector.phases import Edge, PhaseName


class Evidence(msgspec.Struct, frozen=True):
    """The readings that a conclusion rests on: those of one channel in a span, ends included."""

    channel: str
    from_us: int
    to_us: int
    readings: int


class Source(StrEnum):
    """How a phase is known."""

    MARK = "mark"
    SCALE = "scale"
    GAP = "gap"  # the longest that the time before the pour allows


class PhaseBegan(Derived, frozen=True, kw_only=True, tag="phase-began"):
    """A phase began, at `began_us`, for the given pitcher of the lot (from 1)."""

    phase: PhaseName
    pitcher: int
    began_us: int
    source: Source
    rests_on: Evidence | None = None


class PhaseEnded(Derived, frozen=True, kw_only=True, tag="phase-ended"):
    """A phase ended. `duration_us` may be less than the span where it was interrupted."""

    phase: PhaseName
    pitcher: int
    began_us: int
    ended_us: int
    duration_us: int
    source: Source
    rests_on: Evidence | None = None


class PhaseWithdrawn(Derived, frozen=True, kw_only=True, tag="phase-withdrawn"):
    """The phase has not been: the scale turned out to show something else, or a mark was a mistake.

    Where it has been in another way, that is told after it.
    """

    phase: PhaseName
    pitcher: int


class MarkContradicted(Derived, frozen=True, kw_only=True, tag="mark-contradicted"):
    """The scale shows that a mark, made at `marked_us`, cannot be right; `why` says what it saw."""

    phase: PhaseName
    edge: Edge
    marked_us: int
    why: str


class WeighingKind(StrEnum):
    """What was weighed."""

    WAX = "wax"
    FRAGRANCE = "fragrance"
    FILL = "fill"


class WeighingAccepted(Derived, frozen=True, kw_only=True, tag="weighing-accepted"):
    """A settled mass was accepted for the lot; 0.001 g. `revision` counts up from 0.

    A later event with the same kind, pitcher and vessel takes the place of an earlier one:
    the wax or the vessel was topped up.
    """

    kind: WeighingKind
    pitcher: int
    vessel: int | None
    mass_mg: int
    target_mg: int
    tolerance_mg: int
    evidence: Evidence
    revision: int = 0


class FragranceApart(Derived, frozen=True, kw_only=True, tag="fragrance-apart"):
    """The pitcher's fragrance is weighed into a beaker, and goes into the wax since `added_us`.

    That is None while the bench has not seen it go in. The last word on a pitcher holds, until
    its weighing or its phase is withdrawn.
    """

    pitcher: int
    added_us: int | None = None


class WeighingWithdrawn(Derived, frozen=True, kw_only=True, tag="weighing-withdrawn"):
    """The same of a weighing: nothing was weighed."""

    kind: WeighingKind
    pitcher: int
    vessel: int | None
