"""What can go wrong in a simulated lot, and which rule should notice it."""

from dataclasses import dataclass
from enum import StrEnum


class FaultKind(StrEnum):
    """One kind of mishap."""

    WAX_SHORT = "wax short"
    WAX_TOO_MUCH = "wax too much"
    FRAGRANCE_TOO_COOL = "fragrance too cool"
    FRAGRANCE_TOO_WARM = "fragrance too warm"
    FRAGRANCE_TOO_LITTLE = "fragrance too little"
    FRAGRANCE_TOO_MUCH = "fragrance too much"
    FRAGRANCE_TWICE = "fragrance twice"
    FRAGRANCE_SKIPPED = "fragrance skipped"
    STIR_CUT_SHORT = "stir cut short"
    STIR_SKIPPED = "stir skipped"
    POUR_TOO_HOT = "pour too hot"
    POUR_TOO_COLD = "pour too cold"
    POUR_TOO_LONG = "pour too long"
    VESSEL_LIGHT = "vessel light"
    VESSEL_HEAVY = "vessel heavy"
    VESSEL_SKIPPED = "vessel skipped"
    PROBE_UNPLUGGED = "probe unplugged"
    INSTRUMENT_SILENT = "instrument silent"
    POT_TOO_HOT = "pot too hot"


@dataclass(frozen=True)
class Expectation:
    """The rule that a fault should raise, and the phase it belongs to, if any."""

    rule: str
    phase: str | None


EXPECTED = {
    FaultKind.WAX_SHORT: Expectation("wax-grams", "draw wax"),
    FaultKind.WAX_TOO_MUCH: Expectation("wax-grams", "draw wax"),
    FaultKind.FRAGRANCE_TOO_COOL: Expectation("fragrance-temperature", "add fragrance"),
    FaultKind.FRAGRANCE_TOO_WARM: Expectation("fragrance-temperature", "add fragrance"),
    FaultKind.FRAGRANCE_TOO_LITTLE: Expectation("fragrance-grams", "add fragrance"),
    FaultKind.FRAGRANCE_TOO_MUCH: Expectation("fragrance-grams", "add fragrance"),
    FaultKind.FRAGRANCE_TWICE: Expectation("fragrance-grams", "add fragrance"),
    FaultKind.FRAGRANCE_SKIPPED: Expectation("skipped-phase", "add fragrance"),
    FaultKind.STIR_CUT_SHORT: Expectation("stir-duration", "stir"),
    FaultKind.STIR_SKIPPED: Expectation("skipped-phase", "stir"),
    FaultKind.POUR_TOO_HOT: Expectation("pour-temperature", "pour"),
    FaultKind.POUR_TOO_COLD: Expectation("pour-temperature", "pour"),
    FaultKind.POUR_TOO_LONG: Expectation("pour-temperature", "pour"),
    FaultKind.VESSEL_LIGHT: Expectation("fill-grams", "pour"),
    FaultKind.VESSEL_HEAVY: Expectation("fill-grams", "pour"),
    FaultKind.VESSEL_SKIPPED: Expectation("skipped-phase", "pour"),
    FaultKind.PROBE_UNPLUGGED: Expectation("instrument-silent", None),
    FaultKind.INSTRUMENT_SILENT: Expectation("instrument-silent", None),
    FaultKind.POT_TOO_HOT: Expectation("over-temperature", None),
}

DRAWING = "drawing"
COOLING = "cooling"


@dataclass(frozen=True)
class Fault:
    """One planted mishap. Which numbers count depends on its kind.

    `kelvin`: how far outside the window. `share`: of what should have been (wax, fragrance,
    stir). `grams`: how far a vessel is off. `vessel` counts from 1 through the lot; `pitcher`
    too. `instrument`, `when` (`drawing` or `cooling`), `after_s` and `seconds` are for what
    happens beside the maker's work.
    """

    kind: FaultKind
    pitcher: int = 1
    vessel: int | None = None
    kelvin: float = 4.0
    share: float = 1.0
    grams: float = 6.0
    instrument: str = "quay-pitcher"
    when: str = COOLING
    after_s: float = 60.0
    seconds: float = 40.0

    @property
    def expectation(self) -> Expectation:
        """The rule that should notice it."""
        return EXPECTED[self.kind]


@dataclass(frozen=True)
class Planted:
    """One deviation that a lot of the day should show; `what` is a sentence for a person."""

    lot: str
    recipe: str
    rule: str
    phase: str | None
    vessel: int | None
    what: str
