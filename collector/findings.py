"""What the recognizer finds in the readings of a scale."""

import msgspec

from collector.events import Evidence, WeighingKind
from collector.expectations import Expectation


class Begun(msgspec.Struct, frozen=True):
    """An addition began at `at_us`, the last moment at which the scale still rested."""

    kind: WeighingKind
    pitcher: int
    vessel: int | None
    at_us: int


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


class Mistaken(msgspec.Struct, frozen=True):
    """An addition that had begun turned out to be another one; it never was."""

    kind: WeighingKind
    pitcher: int


Finding = Begun | Weighed | Mistaken
