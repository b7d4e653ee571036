"""A whole simulated day at its ports: instruments, clock, maker, and what was planted."""

import json
import sys
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import NoReturn

from simulators.bench_model import BenchModel
from simulators.faults import Planted
from simulators.hands import Hands, Motion
from simulators.layout import BENCH, Layout
from simulators.maker import Maker
from simulators.noise import seeded
from simulators.pace import Pace
from simulators.physics.pot import Pot
from simulators.scenario import Scenario
from simulators.service import HttpService
from simulators.shift import Shift
from simulators.waiting_maker import FULL_POT, WaitingMaker
from simulators.workbench import Workbench

KNOCK_EVERY_S = 0.25
"""Real seconds between two looks whether the service is up."""

EVENING_S = 600.0

LINGER_S = 1.0
"""Real seconds between the end of the day and the end of its ports."""


@dataclass(frozen=True)
class DayPlan:
    """One run: the scenario, where its ports go, how fast, and whose service it talks to.

    `start_us` is UTC in microseconds since 1970.
    """

    scenario: Scenario
    layout: Layout
    clock: Path
    start_us: int
    speed: float
    seed: int
    api: str
    marks: bool
    quiet: bool
    waits: bool = False
    """Whether the maker opens no lots herself, and pours those that somebody opens."""
    stays: bool = False
    """Whether the instruments go on after the day, until the program is told to stop."""


def simulate_day(plan: DayPlan) -> None:
    """Offer the instruments, wait for the service, and play the scenario; blocks.

    Raises ServiceError, ScenarioError or TimeoutError where the day cannot go on.
    """
    forget_earlier_day(plan.layout)
    scenario = replace(plan.scenario, pot=FULL_POT) if plan.waits else plan.scenario
    model = bench_model(scenario, plan.seed)
    dialect = plan.scenario.dialect
    with Workbench(plan.layout, model, plan.clock, plan.start_us, dialect) as bench:
        bench.step(Pace(1.0).step_s)
        plan.layout.ready.touch()
        service = HttpService(plan.api)
        wait_for_service(bench, service)
        shift = Shift(
            bench=model,
            hands=Hands(model, seeded(plan.seed + 1)),
            service=service,
            pitcher=plan.scenario.pitcher,
            say=(lambda _: None) if plan.quiet else narrator(bench),
            marks=plan.marks,
        )
        maker = Maker(scenario, shift)
        if plan.waits:
            waiting = WaitingMaker(maker, shift, partial(service.opened_at, BENCH))
            play(bench, waiting.day(), plan.speed)
        else:
            play(bench, maker.day(), plan.speed)
        write_planted(plan.layout.planted, shift.planted)
        if plan.stays:
            rest(bench, plan.speed)
        linger(bench, plan.speed)


def bench_model(scenario: Scenario, seed: int) -> BenchModel:
    """Return the bench as the scenario finds it in the morning."""
    pot = Pot(scenario.pot.wax_g, scenario.pot.degc)
    return BenchModel(pot, seed, scenario.room_degc, scenario.resolution_g)


def forget_earlier_day(layout: Layout) -> None:
    """Remove what an earlier run in the same folder left."""
    layout.ready.unlink(missing_ok=True)
    layout.planted.unlink(missing_ok=True)


def wait_for_service(bench: Workbench, service: HttpService) -> None:
    """Let time pass at its natural speed until the service answers."""
    pace = Pace(1.0)
    knock_s = time.monotonic()
    while True:
        if time.monotonic() >= knock_s:
            if service.answers():
                return
            knock_s = time.monotonic() + KNOCK_EVERY_S
        bench.step(pace.step_s)
        pace.keep()


def play(bench: Workbench, day: Motion, speed: float) -> None:
    """Step bench and maker together until the day is over."""
    pace = Pace(speed)
    for _ in day:
        bench.step(pace.step_s)
        pace.keep()


def rest(bench: Workbench, speed: float) -> NoReturn:
    """Let the bench rest with its pot off, as it is left in the evening; blocks."""
    bench.model.pot.plugged_in = False
    while True:
        bench.run(EVENING_S, speed)


def linger(bench: Workbench, speed: float) -> None:
    """Let the instruments speak on for a moment: whoever reads them can hang up first."""
    bench.run(LINGER_S * speed, speed)


def narrator(bench: Workbench) -> Callable[[str], None]:
    """Return a way to tell each action on stderr, with its simulated time."""

    def say(what: str) -> None:
        at = datetime.fromtimestamp(bench.now_us / 1e6, UTC)
        sys.stderr.write(f"{at:%H:%M:%S} {what}\n")
        sys.stderr.flush()

    return say


def write_planted(path: Path, planted: list[Planted]) -> None:
    """Write what the day planted, in the order in which it happened."""
    listed = [asdict(item) for item in planted]
    fresh = path.with_suffix(".fresh")
    fresh.write_text(json.dumps(listed, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
    fresh.replace(path)
