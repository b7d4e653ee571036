"""What truly happened in a lot, and when a person at the displays could have known it.

The maker writes it as she works; nothing in it is guessed from an instrument, but for the moment
at which a mishap shows: a person has no more than the displays to see it by.
"""

from dataclasses import dataclass, field
from enum import StrEnum

from simulators.bench_model import POT_PROBE, BenchModel
from simulators.faults import Expectation, FaultKind


class Moment(StrEnum):
    """When a mishap can first be known by somebody who reads the displays."""

    NOW = "now"
    SCENT = "the fragrance goes in"
    REST = "the display rests"
    POUR = "the pour begins"
    CLOSE = "the lot is closed"
    HEAT = "the thermometer shows more than the limit"


SHOWS_AT = {
    FaultKind.WAX_SHORT: Moment.REST,
    FaultKind.WAX_TOO_MUCH: Moment.REST,
    FaultKind.FRAGRANCE_TOO_COOL: Moment.SCENT,
    FaultKind.FRAGRANCE_TOO_WARM: Moment.SCENT,
    FaultKind.FRAGRANCE_TOO_LITTLE: Moment.REST,
    FaultKind.FRAGRANCE_TOO_MUCH: Moment.REST,
    FaultKind.FRAGRANCE_TWICE: Moment.REST,
    FaultKind.FRAGRANCE_SKIPPED: Moment.POUR,
    FaultKind.STIR_CUT_SHORT: Moment.POUR,
    FaultKind.STIR_SKIPPED: Moment.POUR,
    FaultKind.POUR_TOO_HOT: Moment.POUR,
    FaultKind.POUR_TOO_COLD: Moment.POUR,
    FaultKind.POUR_TOO_LONG: Moment.POUR,
    FaultKind.VESSEL_LIGHT: Moment.REST,
    FaultKind.VESSEL_HEAVY: Moment.REST,
    FaultKind.VESSEL_SKIPPED: Moment.CLOSE,
    FaultKind.POT_TOO_HOT: Moment.HEAT,
}
"""The others show at once: an instrument has given its last reading."""


@dataclass
class Phase:
    """One phase of one pitcher; seconds of the bench."""

    name: str
    pitcher: int
    began_s: float
    ended_s: float


@dataclass(frozen=True)
class Mass:
    """A mass that was truly weighed: what is in the pitcher or in the vessel, grams."""

    kind: str
    pitcher: int
    vessel: int | None
    grams: float
    at_s: float


@dataclass
class Mishap:
    """Something that went wrong. `evident_s` is None until it shows; `subject` an instrument."""

    kind: FaultKind
    expected: Expectation
    pitcher: int
    vessel: int | None
    subject: str | None
    what: str
    shows: Moment
    noted_s: float
    evident_s: float | None = None


@dataclass(frozen=True)
class Cooling:
    """A pitcher left alone from `began_s` until its thermometer passed `degc` at `passed_s`."""

    pitcher: int
    degc: float
    began_s: float
    passed_s: float


@dataclass
class Diary:
    """Everything that happened in one lot."""

    phases: dict[tuple[str, int], Phase] = field(default_factory=dict)
    masses: dict[tuple[str, int, int | None], Mass] = field(default_factory=dict)
    mishaps: list[Mishap] = field(default_factory=list)
    coolings: list[Cooling] = field(default_factory=list)
    closed_s: float | None = None
    _rested_s: float | None = None

    def work(self, name: str, pitcher: int, at_s: float) -> None:
        """Note that a phase is being worked at now."""
        phase = self.phases.setdefault((name, pitcher), Phase(name, pitcher, at_s, at_s))
        phase.ended_s = at_s

    def began_s(self, name: str, pitcher: int) -> float | None:
        """Return when a phase began, None where it has not."""
        phase = self.phases.get((name, pitcher))
        return None if phase is None else phase.began_s

    def weigh(self, mass: Mass) -> None:
        """Note a mass; a later one of the same kind and place is the same, topped up."""
        self.masses[mass.kind, mass.pitcher, mass.vessel] = mass

    def show(self, moment: Moment, at_s: float, pitcher: int | None = None) -> None:
        """Let the mishaps that show at this moment be evident from now on."""
        for mishap in self._hidden(moment):
            if pitcher in {None, mishap.pitcher}:
                mishap.evident_s = at_s

    def show_scent(self, pitcher: int, at_s: float) -> None:
        """Note that fragrance goes in now."""
        self.show(Moment.SCENT, at_s, pitcher)

    def show_at_rest(self, moment: Moment, pitcher: int) -> None:
        """Let the mishaps that show at this moment wait for the display to rest."""
        for mishap in self._hidden(moment):
            if mishap.pitcher == pitcher:
                mishap.shows = Moment.REST

    def look(self, bench: BenchModel, limit_degc: float) -> None:
        """Look at the displays of the bench, as a person would, for what shows there."""
        if bench.pouring or not bench.pan.display.stable:
            self._rested_s = None
        elif self._rested_s is None:
            self._rested_s = bench.time_s
        if self._rested_s is not None:
            self.show(Moment.REST, self._rested_s)
        if bench.probes[POT_PROBE].shown_degc > limit_degc:
            self.show(Moment.HEAT, bench.time_s)

    def _hidden(self, moment: Moment) -> list[Mishap]:
        return [m for m in self.mishaps if m.evident_s is None and m.shows is moment]
