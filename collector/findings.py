"""What the recognizer finds in the readings of a scale."""

import msgspec

from collector.conclusions import Evidence, WeighingKind
from collector.expectations import Expectation
from collector.phases import Edge, PhaseName


class Begun(msgspec.Struct, frozen=True):
    """An addition began at `at_us`, the last moment at which the scale still rested.

    `apart` says that fragrance goes into a beaker of its own, not into the wax.
    """

    kind: WeighingKind
    pitcher: int
    vessel: int | None
    at_us: int
    evidence: Evidence
    apart: bool = False


class Tipped(msgspec.Struct, frozen=True):
    """Fragrance that was weighed apart goes into the wax since `began_us`.

    It is all in since `settled_us`; None while it is still going in.
    """

    pitcher: int
    began_us: int
    settled_us: int | None


class Weighed(msgspec.Struct, frozen=True):
    """An addition came to rest: its mass and what it should have been; 0.001 g."""

    kind: WeighingKind
    pitcher: int
    vessel: int | None
    mass_mg: int
    expected: Expectation
    began_us: int
    settled_us: int
    evidence: Evidence
    revision: int
    apart: bool = False


class Mistaken(msgspec.Struct, frozen=True):
    """An addition that was told turned out to be another one; it never was.

    `weighed` says that its mass was told too, `only` that nothing else of its kind was told of
    the pitcher.
    """

    kind: WeighingKind
    pitcher: int
    vessel: int | None
    weighed: bool
    only: bool


class Contradicted(msgspec.Struct, frozen=True):
    """A mark that the scale shows cannot be right; `why` says what it shows."""

    phase: PhaseName
    edge: Edge
    why: str


Finding = Begun | Tipped | Weighed | Mistaken | Contradicted
