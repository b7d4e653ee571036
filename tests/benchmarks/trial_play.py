"""Plays one lot of a trial: a maker drawn at random works, the bench judges."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field

from trial_desk import Desk
from trial_forecast import Forecast, forecast
from trial_wires import Wires, channels_of

from collector.conclusions import WeighingAccepted
from collector.events import AnyDerived
from collector.readings import Sample
from simulators.bench_model import BenchModel
from simulators.chance.lots import ChanceLot, chance_lot
from simulators.diary import Diary
from simulators.hands import Hands
from simulators.maker import Maker
from simulators.noise import seeded
from simulators.physics.pot import Pot
from simulators.scenario import ScenarioError
from simulators.shift import Shift

QUICK_STEP_S = 0.05
CALM_STEP_S = 0.2
LATE_US = 6000
"""How late a reading may be stamped: a busy machine."""

ASK_EVERY_S = 5.0
ATTEMPTS = 50

Tell = Callable[[float, str], None]


@dataclass(frozen=True)
class Played:
    """One lot as it went: the truth, and what the bench made of it."""

    number: int
    attempt: int
    lot: ChanceLot
    diary: Diary
    events: list[AnyDerived]
    forecasts: list[Forecast]
    readings: int
    seconds: float
    spent_s: float


def play_lot(seed: int, number: int, *, marks: bool, tell: Tell | None = None) -> Played:
    """Play lot `number` of the trial; one that cannot be played is drawn again."""
    problem: ScenarioError | TimeoutError | None = None
    for attempt in range(ATTEMPTS):
        play = Play(chance_lot(seed, number, attempt), marks=marks, tell=tell)
        try:
            return play.run(number, attempt)
        except (ScenarioError, TimeoutError) as refused:
            problem = refused
    raise RuntimeError(f"lot {number} could not be drawn in {ATTEMPTS} attempts") from problem


@dataclass
class Play:
    """One attempt at one lot."""

    lot: ChanceLot
    marks: bool
    tell: Tell | None
    heard_s: dict[str, float] = field(default_factory=dict)
    forecasts: list[Forecast] = field(default_factory=list)
    asked_s: float = 0.0

    def __post_init__(self) -> None:
        scenario, instruments = self.lot.scenario, self.lot.instruments
        pot = Pot(scenario.pot.wax_g, scenario.pot.degc)
        self.model = BenchModel(pot, self.lot.seed, scenario.room_degc)
        instruments.fit(self.model)
        self.channels = channels_of(instruments)
        self.patience_s = {c.name: (c.silent_after_us or 0) / 1e6 for c in self.channels}
        self.desk = Desk(self.model, self.channels)
        self.wires = Wires(self.model, instruments, self._hear)
        self.chance = seeded(self.lot.seed + 2)
        self.shift = Shift(
            bench=self.model,
            hands=Hands(self.model, seeded(self.lot.seed + 1)),
            service=self.desk,
            pitcher=scenario.pitcher,
            say=self._say,
            marks=self.marks,
        )

    def run(self, number: int, attempt: int) -> Played:
        """Work through the lot. Raises ScenarioError or TimeoutError where it cannot be played."""
        began_s = time.process_time()
        limit_degc = self.lot.plan.recipe.never_above_degc
        for _ in Maker(self.lot.scenario, self.shift).day():
            self.model.update(self._step_s())
            self.wires.speak()
            self._date_silence()
            self.shift.diary.look(self.model, limit_degc)
            self._ask()
        return Played(
            number=number,
            attempt=attempt,
            lot=self.lot,
            diary=self.shift.diary,
            events=self.desk.events,
            forecasts=self.forecasts,
            readings=self.desk.readings,
            seconds=self.model.time_s,
            spent_s=time.process_time() - began_s,
        )

    def _step_s(self) -> float:
        """Return a step: fine while hands pour, never past the next reading."""
        longest_s = QUICK_STEP_S if self.model.pouring else CALM_STEP_S
        return max(1e-6, min(longest_s, self.wires.next_s - self.model.time_s))

    def _hear(self, channel: str, sample: Sample) -> None:
        self.heard_s[channel] = self.model.time_s
        before = len(self.desk.events)
        self.desk.read(channel, sample, self.chance.randrange(LATE_US))
        if self.tell is not None:
            for event in self.desk.events[before:]:
                self.tell(self.model.time_s, described(event))

    def _say(self, what: str) -> None:
        if self.tell is not None:
            self.tell(self.model.time_s, what)

    def _date_silence(self) -> None:
        """An instrument's silence is evident once its declared patience has run out."""
        for mishap in self.shift.diary.mishaps:
            if mishap.subject is not None and mishap.evident_s == mishap.noted_s:
                heard_s = self.heard_s.get(mishap.subject, mishap.noted_s)
                mishap.evident_s = heard_s + self.patience_s[mishap.subject]

    def _ask(self) -> None:
        """Ask the service now and then when the wax will be in its windows."""
        run = self.desk.bench.run
        if run is None or self.model.time_s < self.asked_s:
            return
        self.asked_s = self.model.time_s + ASK_EVERY_S
        shown = self.model.thermometer_degc
        card = self.lot.plan.recipe
        for degc in (card.add.high, card.pour.high):
            if shown is not None and self.model.pitcher is not None and shown > degc:
                said = forecast(self.desk.bench, degc, self.model.time_s)
                self.forecasts += [said] if said is not None else []


def described(event: AnyDerived) -> str:
    """Return an event in one line, indented beside what the maker did."""
    kind = type(event).__name__
    shown = ("phase", "kind", "rule", "pitcher", "vessel", "subject", "message", "outcome", "alarm")
    said = (f"{name}={getattr(event, name)}" for name in shown if getattr(event, name, None))
    grams = ""
    if isinstance(event, WeighingAccepted):
        grams = f" {event.mass_mg / 1000:.1f} g of {event.target_mg / 1000:.1f} g"
    return f"        {kind} {' '.join(said)}{grams}"
