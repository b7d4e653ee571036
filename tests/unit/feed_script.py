"""A small language for feeds: somebody who knows no simulator moves a scale and a thermometer.

A `Script` holds the display at a level, ramps it or jumps it, and feeds what an instrument of
some `Instrument` style would show to a bench, reading by reading. Levels are grams, temperatures
°C, times seconds; the script notes when the evidence of each thing lay open.
"""

import random
from collections import Counter
from dataclasses import dataclass, field

from collector.alarm_events import AlarmFolded, AlarmRaised
from collector.answer_events import AlarmAcknowledged, AlarmShelved
from collector.bench import Bench
from collector.conclusions import WeighingAccepted, WeighingKind, WeighingWithdrawn
from collector.display import Display
from collector.event_base import Event
from collector.events import AnyDerived, AnyGiven
from collector.lot_events import LotClosed, LotOpened, PhaseMarked, PotTold
from collector.phases import Edge, PhaseName
from collector.pot import Pot
from collector.readings import Channel, Quality, Reading, Role
from collector.recipes import Recipe

NOON_US = 1_764_072_000_000_000
SILENT_US = 10_000_000
SETTLING_S = 0.4  # how long a scale with a motion flag keeps it up after a jump
SCALE, PITCHER, POT, ROOM = "creek-scale", "creek-pitcher", "creek-pot", "creek-room"
ROLES = {SCALE: Role.SCALE, PITCHER: Role.PITCHER, POT: Role.POT, ROOM: Role.ROOM}

Evidence = tuple[str, int, int | None]  # what of which pitcher and vessel
Found = tuple[str, int | None, int | None]  # rule, pitcher, vessel


def channels_of(*names: str) -> tuple[Channel, ...]:
    return tuple(Channel(name, "creek", ROLES[name], SILENT_US) for name in names)


@dataclass(frozen=True)
class Instrument:
    """How a scale shows a mass."""

    rate_hz: int = 5
    division_g: float = 0.1
    noise_divisions: int = 0
    tells_motion: bool = False
    lag_s: float = 0.0  # a filter in the scale that makes it slow to follow
    seed: int = 1


@dataclass
class Script:
    """Moves the instruments of one bench in its own time."""

    instrument: Instrument = Instrument()
    probes: tuple[str, ...] = (PITCHER, POT, ROOM)
    level_g: float = 0.0
    celsius: dict[str, float] = field(
        default_factory=lambda: {PITCHER: 84.0, POT: 80.0, ROOM: 21.0}
    )
    silent: set[str] = field(default_factory=set)
    inputs: list[Reading | AnyGiven] = field(default_factory=list)
    events: list[AnyDerived] = field(default_factory=list)
    evidence_us: dict[Evidence, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.channels = channels_of(SCALE, *self.probes)
        self.bench = Bench("creek", self.channels, Display(), NOON_US)
        self._random = random.Random(self.instrument.seed)  # noqa: S311 - noise, no secret
        self._readings = 0
        self._moving_until_us = 0
        self._followed_g = self.level_g

    @property
    def now_us(self) -> int:
        return NOON_US + self._readings * 1_000_000 // self.instrument.rate_hz + 1

    # ------------------------------------------------------------ what a person does

    def open(self, recipe: Recipe, vessels: int, pot: Pot | None = None) -> None:
        self._give(
            LotOpened(
                at_us=self.now_us,
                bench="creek",
                lot="1",
                recipe=recipe,
                vessels=vessels,
                channels=self.channels,
                pot=pot,
            )
        )

    def tell(self, pot: Pot | None) -> None:
        """Plan the lot's pour day again."""
        self._give(PotTold(at_us=self.now_us, bench="creek", lot="1", pot=pot))

    def close(self) -> None:
        self.note("close", 0)
        self._give(LotClosed(at_us=self.now_us, bench="creek", lot="1"))

    def mark(self, phase: PhaseName, edge: Edge = Edge.BEGIN) -> None:
        marked = PhaseMarked(at_us=self.now_us, bench="creek", lot="1", phase=phase, edge=edge)
        self._give(marked)

    def acknowledge(self) -> None:
        """Say that all alarms so far have been seen."""
        for alarm in self.deviations():
            seen = AlarmAcknowledged(
                at_us=self.now_us, bench="creek", lot="1", alarm=alarm.alarm, note=""
            )
            self._give(seen)

    def shelve(self) -> None:
        """Put all alarms so far aside for ten minutes."""
        for alarm in self.deviations():
            until_us = self.now_us + 600_000_000
            aside = AlarmShelved(
                at_us=self.now_us, bench="creek", lot="1", alarm=alarm.alarm, until_us=until_us
            )
            self._give(aside)

    def note(self, what: str, pitcher: int, vessel: int | None = None) -> None:
        """Say that the evidence lies open from now on."""
        self.evidence_us[what, pitcher, vessel] = self.now_us

    # ------------------------------------------------------------ what the display does

    def hold(self, seconds: float) -> None:
        until_us = self.now_us + round(seconds * 1_000_000)
        while self.now_us < until_us:
            self._show()

    def jump(self, to_g: float) -> None:
        self.level_g = to_g
        self._moving_until_us = self.now_us + round(SETTLING_S * 1_000_000)

    def ramp(self, to_g: float, seconds: float) -> None:
        from_us, from_g = self.now_us, self.level_g
        span_us = max(1, round(seconds * 1_000_000))
        self._moving_until_us = from_us + span_us
        while self.now_us < from_us + span_us:
            self.level_g = from_g + (to_g - from_g) * (self.now_us - from_us) / span_us
            self._show()
        self.level_g = to_g

    def add(self, grams: float, seconds: float) -> None:
        """Pour: a ramp by so much, or a jump where it takes no time."""
        if seconds:
            self.ramp(self.level_g + grams, seconds)
        else:
            self.jump(self.level_g + grams)

    # ------------------------------------------------------------ what came of it

    def weighings(self) -> dict[tuple[WeighingKind, int, int | None], float]:
        """The last word on each weighing, in grams."""
        weighed: dict[tuple[WeighingKind, int, int | None], float] = {}
        for event in self.events:
            if isinstance(event, WeighingAccepted):
                weighed[event.kind, event.pitcher, event.vessel] = event.mass_mg / 1000
            elif isinstance(event, WeighingWithdrawn):
                weighed.pop((event.kind, event.pitcher, event.vessel), None)
        return weighed

    def deviations(self) -> list[AlarmRaised]:
        folded = {event.alarm for event in self.events if isinstance(event, AlarmFolded)}
        raised = [event for event in self.events if isinstance(event, AlarmRaised)]
        return [alarm for alarm in raised if alarm.alarm not in folded]

    def found(self) -> Counter[Found]:
        return Counter((alarm.rule, alarm.pitcher, alarm.vessel) for alarm in self.deviations())

    def journal(self) -> list[Event]:
        return [item for item in self.inputs if not isinstance(item, Reading)]

    def readings(self) -> list[Reading]:
        return [item for item in self.inputs if isinstance(item, Reading)]

    # ------------------------------------------------------------ instruments

    def _show(self) -> None:
        if SCALE not in self.silent:
            moving = self.instrument.tells_motion and self.now_us < self._moving_until_us
            quality = Quality.IN_MOTION if moving else Quality.GOOD
            self._feed(Reading(SCALE, self.now_us, self._shown_mg(), quality))
        if self._readings % self.instrument.rate_hz == 0:
            for place, name in enumerate(self.probes, 1):
                if name not in self.silent:
                    value = round(self.celsius[name] * 16) * 1000 // 16  # a 12-bit probe
                    self._feed(Reading(name, self.now_us + place, value))
        self._readings += 1

    def _shown_mg(self) -> int:
        noise = self.instrument.noise_divisions
        wobble = self._random.randint(-noise, noise) if noise else 0
        lag_periods = self.instrument.lag_s * self.instrument.rate_hz
        self._followed_g += (self.level_g - self._followed_g) / (1 + lag_periods)
        divisions = round(self._followed_g / self.instrument.division_g) + wobble
        return round(divisions * self.instrument.division_g * 1000)

    def _give(self, given: AnyGiven) -> None:
        self._readings += 1  # so that no two inputs share a time
        self.inputs.append(given)
        self.events += self.bench.feed(given)

    def _feed(self, reading: Reading) -> None:
        self.inputs.append(reading)
        self.events += self.bench.feed(reading)
