"""A clock that steps, or was wrong until it met the network: what is stored in the end.

A real workshop and store; the machine's two clocks are the test's.
"""

import asyncio
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest
from pipeline_at_hand import first_quiet
from workshop_at_hand import BENCH, JUG, MORNING_US, POT, RECIPE, SCALE, config, until

from api.routers.live import Stream
from api.stream_cursor import Cursor
from collector.clock import SystemClock
from collector.conclusions import PhaseEnded
from collector.events import AnyEvent
from collector.instrument_config import Mqtt
from collector.late import AHEAD_US
from collector.live import Shown
from collector.lot_events import LotClosed, LotOpened, PhaseMarked
from collector.lot_record import record_of
from collector.phases import Edge, Phase
from collector.pipeline import channels_at
from collector.readers.link import Sampled
from collector.readings import Quantity, Reading, Sample
from collector.recipe_file import read_recipe_document
from collector.replay import derived_of, first_difference, replay
from collector.service_events import ClockFoundOff, ClockStepped
from collector.store.history import History
from collector.store.verify import verify
from collector.workshop import Workshop

S_US = 1_000_000
MIN_US = 60 * S_US
HOUR_US = 60 * MIN_US
DAY_US = 24 * HOUR_US
EVER = 2**62
LOT = "2026-11-25-1"


class QuickClock(SystemClock):
    """Looked at as often as the clock of a quick simulated day."""

    speed = 50.0


class Machine:
    """A machine whose wall clock is `wrong_us` away from the true time."""

    def __init__(self, true_us: int = MORNING_US, wrong_us: int = 0) -> None:
        self.true_us = true_us
        self.wrong_us = wrong_us

    def clock(self) -> SystemClock:
        return QuickClock(lambda: self.true_us + self.wrong_us, lambda: self.true_us)


class Run:
    """One run of the service on that machine."""

    def __init__(self, machine: Machine, workshop: Workshop) -> None:
        self.machine = machine
        self.workshop = workshop
        self.pipeline = workshop.pipeline
        self.taken: list[tuple[int, int]] = []
        """The true time of each reading of the scale, and its value."""

    async def spend(self, seconds: float, readings: int = 1) -> None:
        """Let time pass, with readings of the scale spread over it, and a few looks."""
        for _ in range(readings):
            self.machine.true_us += round(seconds / readings * S_US)
            value = 1000 + len(self.taken)
            self.taken.append((self.machine.true_us, value))
            now_us = self.workshop.clock.now_us()
            self.pipeline.inbox.put(Sampled(SCALE, now_us, Sample(Quantity.MASS, value)))
            last = self.pipeline.instruments
            await until(lambda: (last[SCALE].last or Reading("", 0, 0)).value == value)  # noqa: B023
        await self.look()

    async def look(self) -> None:
        """Wait until the pipeline has looked at the clock some times more."""
        for _ in range(4):
            beat_s = self.pipeline.beat_s
            await until(lambda: self.pipeline.beat_s != beat_s)  # noqa: B023

    async def open_lot(self) -> None:
        def opening(at_us: int) -> LotOpened:
            return LotOpened(
                at_us=at_us,
                bench=BENCH,
                lot=LOT,
                recipe=read_recipe_document("recipe", RECIPE),
                vessels=2,
                channels=channels_at(self.pipeline.config, BENCH),
            )

        await self.pipeline.give(BENCH, opening)

    async def close_lot(self) -> None:
        await self.pipeline.give(BENCH, lambda us: LotClosed(at_us=us, bench=BENCH, lot=LOT))

    async def mark(self, edge: Edge) -> None:
        def marked(at_us: int) -> PhaseMarked:
            return PhaseMarked(at_us=at_us, bench=BENCH, lot=LOT, phase=Phase.STIR, edge=edge)

        await self.pipeline.give(BENCH, marked)


@asynccontextmanager
async def running(folder: Path, machine: Machine, remote: Sequence[str] = ()) -> AsyncIterator[Run]:
    """Run the service, some instruments of which are read elsewhere; then the store is sound."""
    settings = config(folder)
    only = tuple(
        msgspec.structs.replace(one, link=Mqtt(one.name)) if one.name in remote else one
        for one in settings.instruments
        if one.bench == BENCH
    )
    async with Workshop(config(folder, instruments=only), machine.clock()) as workshop:
        yield Run(machine, workshop)
    assert verify(folder) == []


def stored(folder: Path) -> list[tuple[int, int]]:
    """Return the scale's readings on disk: time and value."""
    span = History(folder).readings(SCALE, 0, EVER)
    return list(zip(span.times.tolist(), span.values.tolist(), strict=True))


def events(folder: Path) -> list[AnyEvent]:
    return [entry.event for entry in History(folder).events_after(0, 10_000)]


def assert_true(found: list[tuple[int, int]], taken: list[tuple[int, int]]) -> None:
    """See that all are there, in order, at their true times but for a rounding or two."""
    assert [value for _, value in found] == [value for _, value in taken]
    for (at_us, _), (true_us, _) in zip(found, taken, strict=True):
        assert abs(at_us - true_us) <= 2_000


@pytest.mark.asyncio
async def test_a_clock_that_was_wrong_until_it_met_the_network_leaves_true_times(
    tmp_path: Path,
) -> None:
    machine = Machine()
    async with running(tmp_path, machine) as run:
        await run.spend(60, 6)
        before = run.taken
    machine.true_us += DAY_US
    machine.wrong_us = -14 * DAY_US
    async with running(tmp_path, machine) as run:
        await run.spend(600, 20)
        state = run.pipeline.clock_state
        assert state is not None
        assert state.behind
        assert stored(tmp_path)[len(before) - 1][0] < run.workshop.clock.now_us() < machine.true_us
        wrong_us = run.workshop.clock.now_us()
        machine.wrong_us = 0  # the network
        await run.look()
        await run.spend(60, 6)
        assert run.pipeline.clock_state is not None
        assert run.pipeline.clock_state.sentence is None
        after = run.taken
    assert_true(stored(tmp_path), [*before, *after])
    (stepped,) = events(tmp_path)
    assert isinstance(stepped, ClockStepped)
    assert stepped.since_us == wrong_us
    assert stepped.at_us - stepped.since_us == stepped.by_us
    assert abs(stepped.at_us - after[19][0]) <= 2_000


@pytest.mark.asyncio
async def test_a_step_of_an_hour_back_leaves_true_times_and_an_event(tmp_path: Path) -> None:
    machine = Machine(wrong_us=HOUR_US)
    async with running(tmp_path, machine) as run:
        await run.spend(600, 20)
        machine.wrong_us = 0
        await run.look()
        await run.spend(600, 20)
        taken = run.taken
    assert_true(stored(tmp_path), taken)
    (stepped,) = events(tmp_path)
    assert isinstance(stepped, ClockStepped)
    assert stepped.by_us == -HOUR_US


@pytest.mark.asyncio
async def test_time_goes_back_no_further_than_to_the_last_event(tmp_path: Path) -> None:
    machine = Machine(wrong_us=HOUR_US)
    async with running(tmp_path, machine) as run:
        await run.open_lot()  # an event an hour late
        await run.close_lot()
        machine.wrong_us = 0
        for _ in range(11):
            await run.spend(10 * 60, 5)
        assert not any(isinstance(event, ClockStepped) for event in events(tmp_path))
        state = run.pipeline.clock_state
        assert state is not None
        assert "about 60 min ahead" in (state.sentence or "")
        await run.spend(30 * 60, 5)
        await run.spend(60)
        taken = run.taken
    assert any(isinstance(event, ClockStepped) for event in events(tmp_path))
    times = [at_us for at_us, _ in stored(tmp_path)]
    assert [value for _, value in stored(tmp_path)] == [value for _, value in taken]
    assert times == sorted(times)
    assert abs(times[-1] - taken[-1][0]) <= 2_000
    at_us = [event.at_us for event in events(tmp_path)]
    assert at_us == sorted(at_us)
    gaps_us = [later - earlier for earlier, later in pairwise(times)]
    assert min(gaps_us) >= MIN_US - 2_000  # two minutes, drawn in by half at most


@pytest.mark.asyncio
async def test_a_step_in_mid_lot_is_told_in_the_lot_whose_durations_stay_true(
    tmp_path: Path,
) -> None:
    machine = Machine()
    async with running(tmp_path, machine) as run:
        await run.spend(60, 3)
        await run.open_lot()
        await run.spend(60, 3)
        await run.mark(Edge.BEGIN)
        machine.wrong_us = 2 * HOUR_US
        await run.spend(130, 3)
        await run.mark(Edge.END)
        in_lot = stored(tmp_path)
        await run.close_lot()
        await run.look()
        await run.spend(60, 3)
        taken = run.taken
    journal = [entry.event for entry in History(tmp_path).events(LOT)]
    (found,) = [event for event in journal if isinstance(event, ClockFoundOff)]
    assert found.by_us == 2 * HOUR_US
    assert record_of(journal).clock == (found,)
    ended = [event for event in journal if isinstance(event, PhaseEnded)]
    (stir,) = [event for event in ended if event.phase == Phase.STIR]
    assert abs(stir.duration_us - 130 * S_US) < 1_000
    # The lot stays as it was recorded; what came after it has the new time.
    assert stored(tmp_path)[: len(in_lot)] == in_lot
    assert_true(in_lot, taken[: len(in_lot)])
    assert_true(stored(tmp_path)[-3:], [(at + 2 * HOUR_US, v) for at, v in taken[-3:]])
    assert isinstance(events(tmp_path)[-1], ClockStepped)


@pytest.mark.asyncio
async def test_a_lot_with_a_clock_that_was_off_is_judged_again_byte_for_byte(
    tmp_path: Path,
) -> None:
    machine = Machine()
    async with running(tmp_path, machine) as run:
        await run.open_lot()
        machine.wrong_us = -2 * HOUR_US
        await run.spend(300, 10)
        await run.mark(Edge.BEGIN)
        await run.spend(300, 10)
        await run.close_lot()
    journal = [entry.event for entry in History(tmp_path).events(LOT)]
    assert any(isinstance(event, ClockFoundOff) for event in journal)
    channels = [channel.name for channel in record_of(journal).opened.channels]
    readings = History(tmp_path).bench_readings(channels, 0, EVER)
    _, derived = replay(journal, readings)
    assert len(derived) > 0
    assert first_difference(derived_of(journal), derived) is None


@pytest.mark.asyncio
async def test_a_reading_whose_time_was_taken_before_the_clock_went_back_is_of_now(
    tmp_path: Path,
) -> None:
    machine = Machine(wrong_us=HOUR_US)
    async with running(tmp_path, machine) as run:
        await run.spend(60)
        old_us = run.workshop.clock.now_us()
        machine.wrong_us = 0
        await run.look()
        machine.true_us += S_US
        run.pipeline.inbox.put(Sampled(JUG, old_us, Sample(Quantity.TEMPERATURE, 70_000)))
        await until(lambda: run.pipeline.instruments[JUG].last is not None)
        last = run.pipeline.instruments[JUG].last
        assert last is not None
        assert last.taken_us <= run.workshop.clock.now_us() == machine.true_us


@pytest.mark.asyncio
async def test_what_the_screens_know_moves_and_their_streams_begin_anew(tmp_path: Path) -> None:
    machine = Machine()
    async with running(tmp_path, machine) as run:
        stream = Stream(run.workshop, Cursor.read("0-0"))
        told: list[str] = []

        async def follow() -> None:
            async for message in stream.messages():
                told.append(message)  # noqa: PERF401 - read while it grows

        following = asyncio.create_task(follow())
        await run.spend(60, 3)
        await until(lambda: any("event: beat" in message for message in told))
        machine.wrong_us = DAY_US
        await asyncio.wait_for(following, 10)
        last = run.pipeline.instruments[SCALE].last
        assert last is not None
        assert abs(last.taken_us - machine.true_us - DAY_US) <= 2_000


# ---------------------------------------------------------------- readings timed elsewhere

ELSEWHERE = (SCALE, JUG, POT)


def weighed(taken_us: int, value: int) -> Sampled:
    return Sampled(SCALE, taken_us, Sample(Quantity.MASS, value))


@pytest.mark.asyncio
async def test_a_reading_from_elsewhere_of_another_century_leaves_the_time_alone(
    tmp_path: Path,
) -> None:
    machine = Machine()
    ahead_us = MORNING_US + 80 * 365 * DAY_US
    async with running(tmp_path, machine, ELSEWHERE) as run:
        with run.pipeline.live.screen() as screen:
            await run.pipeline.receive([weighed(ahead_us, 1)])
            told = [notice async for notice in first_quiet(screen.notices(0.3))]
        assert run.pipeline.instruments[SCALE].last is None
        assert not [notice for notice in told if isinstance(notice, Shown)]
        machine.true_us += 3 * S_US
        await run.pipeline.receive([weighed(machine.true_us, 2)])
        last = run.pipeline.instruments[SCALE].last
        assert last is not None
        assert last.value == 2
    machine.true_us += MIN_US
    for elsewhere in (ELSEWHERE, ()):  # also where it is read here from now on
        async with running(tmp_path, machine, elsewhere) as run:
            assert run.workshop.clock.now_us() == machine.true_us
    assert stored(tmp_path)[-1] == (ahead_us, 1)


@pytest.mark.asyncio
async def test_a_lot_goes_on_with_all_it_judged_also_what_was_timed_ahead(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    machine = Machine()
    async with running(tmp_path, machine, ELSEWHERE) as run:
        await run.open_lot()
        await run.pipeline.receive([weighed(machine.true_us + AHEAD_US, 1)])
    async with running(tmp_path, machine, ELSEWHERE) as run:
        assert run.workshop.clock.now_us() < machine.true_us + S_US
        assert run.pipeline.benches[BENCH].now_us > machine.true_us + AHEAD_US
    assert "its events differ" not in caplog.text


@pytest.mark.asyncio
@pytest.mark.parametrize("wrong_us", [HOUR_US, -HOUR_US])
@pytest.mark.parametrize("elsewhere", [ELSEWHERE, (SCALE,)])
async def test_readings_from_elsewhere_stay_at_their_true_times_when_the_clock_is_put_right(
    tmp_path: Path, wrong_us: int, elsewhere: Sequence[str]
) -> None:
    machine = Machine(wrong_us=wrong_us)
    async with running(tmp_path, machine, elsewhere) as run:
        taken = []
        for value in range(20):
            machine.true_us += S_US
            taken.append(weighed(machine.true_us, value))
            await run.pipeline.receive(taken[-1:])
        last = run.pipeline.instruments[SCALE].last
        await run.look()
        before = stored(tmp_path)
        machine.wrong_us = 0
        await until(lambda: run.workshop.clock.now_us() == machine.true_us)
        await run.look()
        assert stored(tmp_path) == before == [(one.taken_us, one.sample.value) for one in taken]
        assert run.pipeline.instruments[SCALE].last == last
        await run.pipeline.receive(taken)
        machine.true_us += S_US
        await run.pipeline.receive([weighed(machine.true_us, 20)])
        assert stored(tmp_path) == [*before, (machine.true_us, 20)]


@pytest.mark.asyncio
async def test_a_lot_of_a_bench_elsewhere_does_not_hold_back_a_step(tmp_path: Path) -> None:
    machine = Machine(wrong_us=HOUR_US)
    async with running(tmp_path, machine, ELSEWHERE) as run:
        await run.open_lot()
        await run.close_lot()
        closed_us = run.workshop.clock.now_us()
        machine.wrong_us = 0
        await run.look()
        machine.true_us = closed_us + MIN_US  # no event is left behind
        await until(lambda: run.workshop.clock.now_us() == machine.true_us)
