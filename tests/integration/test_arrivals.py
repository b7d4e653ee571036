"""Readings that were timed elsewhere: once, under their times, judged or kept as late."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import msgspec
import pytest
from pipeline_at_hand import EVER, LOT, Harness
from workshop_at_hand import BENCH, JUG, MORNING_US, POT, S_US, SCALE, config

from collector.config import Config, Mqtt
from collector.errors import StoreError
from collector.lot_events import LotClosed
from collector.phases import Edge
from collector.readers.link import Sampled
from collector.readings import ROLE_QUANTITY, Quality, Quantity, Reading, Sample
from collector.replay import derived_of, replay
from collector.service_events import ReadingsCameLate
from collector.store.history import History
from collector.store.records import ReadingSpan
from collector.store.verify import verify

HOUR_US = 3600 * S_US


def remote(folder: Path) -> Config:
    """Return the usual workshop, where one bench is read elsewhere."""
    usual = config(folder)
    instruments = tuple(
        msgspec.structs.replace(one, link=Mqtt(one.name), silent_after_us=3600 * S_US)
        if one.bench == BENCH
        else one
        for one in usual.instruments
    )
    return msgspec.structs.replace(usual, instruments=instruments)


@asynccontextmanager
async def harness(folder: Path) -> AsyncIterator[Harness]:
    made = Harness(remote(folder))
    running = asyncio.create_task(made.pipeline.run())
    try:
        yield made
    finally:
        running.cancel()
        await asyncio.gather(running, return_exceptions=True)
        made.store.close()
    assert verify(folder) == []


def sampled(
    name: str, after_us: int, value: int = 1_000, quality: Quality = Quality.GOOD
) -> Sampled:
    (one,) = [one for one in config(Path()).instruments if one.name == name]
    return Sampled(name, MORNING_US + after_us, Sample(ROLE_QUANTITY[one.role], value, quality))


def shown(made: Harness, name: str) -> Reading | None:
    return made.pipeline.instruments[name].last


def told(made: Harness) -> list[ReadingsCameLate]:
    return [event for event in made.stored() if isinstance(event, ReadingsCameLate)]


@pytest.mark.asyncio
async def test_a_reading_keeps_its_own_microsecond(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        made.clock.pass_s(2)
        await made.pipeline.receive([sampled(SCALE, 1_234_567), sampled(JUG, 1_234_568)])
        assert made.pipeline.benches[BENCH].now_us == MORNING_US + 1_234_568
        assert made.history.readings(SCALE, 0, EVER).times.tolist() == [MORNING_US + 1_234_567]
        last = shown(made, JUG)
        assert last is not None
        assert (last.taken_us, last.late) == (MORNING_US + 1_234_568, False)


@pytest.mark.asyncio
async def test_a_reading_behind_its_bench_is_kept_and_not_judged(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        made.clock.pass_s(100)
        await made.pipeline.receive([sampled(POT, 99 * S_US, 80_000)])
        bench = made.pipeline.benches[BENCH]
        await made.pipeline.receive([sampled(POT, 50 * S_US, 99_000), sampled(JUG, 51 * S_US)])
        assert bench.now_us == MORNING_US + 99 * S_US
        assert made.history.readings(POT, 0, EVER).values.tolist() == [99_000, 80_000]
        last = shown(made, POT)
        assert last is not None
        assert last.value == 80_000, "what is shown is the newest"
        last = shown(made, JUG)
        assert last is not None
        assert last.late, "nothing newer is there to be shown"


@pytest.mark.asyncio
async def test_a_reading_far_ahead_of_the_clock_does_not_take_its_bench_along(
    tmp_path: Path,
) -> None:
    async with harness(tmp_path) as made:
        await made.pipeline.receive([sampled(SCALE, 4 * S_US), sampled(SCALE, 6 * S_US)])
        assert made.pipeline.benches[BENCH].now_us == MORNING_US + 4 * S_US
        assert len(made.stored_values()) == 2


@pytest.mark.asyncio
async def test_a_reading_that_was_stored_ahead_of_the_clock_is_not_judged_when_it_comes_again(
    tmp_path: Path,
) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        ahead = sampled(SCALE, 8 * S_US, 300_000)
        await made.pipeline.receive([ahead])
        made.clock.pass_s(5)
        await made.pipeline.receive([sampled(SCALE, 7 * S_US), ahead, sampled(JUG, 7_500_000)])
        assert made.pipeline.benches[BENCH].now_us < MORNING_US + 8 * S_US
        await made.pipeline.receive([sampled(SCALE, 9 * S_US)])
    judged = made.history.bench_readings([SCALE, JUG], 0, EVER)
    assert [one.taken_us - MORNING_US for one in judged] == [7 * S_US, 7_500_000, 9 * S_US]
    assert len(made.stored_values()) == 3


@pytest.mark.asyncio
async def test_a_reading_that_was_stored_before_the_start_is_not_judged_again(
    tmp_path: Path,
) -> None:
    async with harness(tmp_path) as made:
        await made.pipeline.receive([sampled(SCALE, 4 * S_US)])
    async with harness(tmp_path) as made:
        await made.pipeline.receive([sampled(SCALE, 4 * S_US)])
        assert made.pipeline.benches[BENCH].now_us == MORNING_US
        await made.pipeline.receive([sampled(SCALE, 3 * S_US)])
        assert made.pipeline.benches[BENCH].now_us == MORNING_US + 3 * S_US


@pytest.mark.asyncio
async def test_a_mark_overtakes_no_reading_that_is_on_its_way(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        made.clock.speed = 1.0
        await made.open_lot()
        made.clock.pass_s(9)
        await made.pipeline.receive([sampled(SCALE, 9 * S_US, 0)])
        mark = await made.mark()  # a second later
        assert mark.at_us == MORNING_US + 9 * S_US + 1, "right behind what had come"
        await made.pipeline.receive([sampled(SCALE, 9_500_000, 300_000)])
        made.pipeline.enter(POT, Sample(Quantity.TEMPERATURE, 80_000))
        await made.pipeline.receive([sampled(SCALE, 9_900_000, 300_000)])
        assert made.pipeline.benches[BENCH].now_us == MORNING_US + 9_900_000
        made.clock.pass_s(60)
        end = await made.mark(edge=Edge.END)
        assert end.at_us == MORNING_US + 68 * S_US, "never further behind the clock than the bench"
        assert told(made) == []
        await made.pipeline.give(BENCH, lambda at_us: LotClosed(at_us=at_us, bench=BENCH, lot=LOT))
    kept = [stored.event for stored in made.history.events(LOT)]
    judged = list(made.history.material(LOT).readings())
    assert [one.taken_us - MORNING_US for one in judged] == [
        9_000_000,
        9_500_000,
        9_500_001,
        9_900_000,
    ]
    assert replay(kept, judged)[1] == derived_of(kept)


@pytest.mark.asyncio
async def test_what_was_overtaken_all_the_same_is_told(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        made.clock.pass_s(9)
        await made.pipeline.receive([sampled(SCALE, 9 * S_US)])
        await made.pipeline.receive([sampled(JUG, 8_900_000)])
        await made.pipeline.give(BENCH, lambda at_us: LotClosed(at_us=at_us, bench=BENCH, lot=LOT))
        (run,) = told(made)
        assert (run.lot, run.count, run.from_us) == (LOT, 1, MORNING_US + 8_900_000)


@pytest.mark.asyncio
async def test_a_run_of_late_readings_leaves_one_event_in_the_lot(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        made.clock.pass_s(600)
        await made.pipeline.receive([sampled(SCALE, 599 * S_US)])
        for second in (10, 12, 14):
            await made.pipeline.receive(
                [sampled(SCALE, second * S_US), sampled(JUG, second * S_US)]
            )
        assert told(made) == []
        made.clock.pass_s(3)
        await made.pipeline.give(BENCH, lambda at_us: LotClosed(at_us=at_us, bench=BENCH, lot=LOT))
        (run,) = told(made)
        assert (run.lot, run.count) == (LOT, 6)
        assert (run.from_us, run.to_us) == (MORNING_US + 10 * S_US, MORNING_US + 14 * S_US)


@pytest.mark.asyncio
async def test_what_is_there_already_is_not_late_but_known(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        made.clock.pass_s(600)
        pack = [sampled(SCALE, second * S_US, second) for second in (590, 591, 592)]
        for _ in range(3):
            await made.pipeline.receive(pack)
        assert made.stored_values() == [590, 591, 592]
        made.clock.pass_s(5)
        await made.pipeline.receive([sampled(SCALE, 593 * S_US, 593)])
    assert told(made) == []


@pytest.mark.asyncio
async def test_a_message_of_two_times_far_apart_does_not_load_what_is_between(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[int, int]] = []
    read = History.readings

    def readings(history: History, channel: str, from_us: int, to_us: int) -> ReadingSpan:
        asked.append((from_us - MORNING_US, to_us - MORNING_US))
        return read(history, channel, from_us, to_us)

    monkeypatch.setattr(History, "readings", readings)
    async with harness(tmp_path) as made:
        made.clock.pass_s(100 * 3600)
        pack = [sampled(SCALE, hour * HOUR_US) for hour in (0, 1, 2, 50)]
        for _ in range(2):
            await made.pipeline.receive(pack)
        assert asked[-2:] == [(0, 2 * HOUR_US), (50 * HOUR_US, 50 * HOUR_US)]
        assert len(made.stored_values()) == 4


@pytest.mark.asyncio
async def test_what_the_store_refuses_is_refused_and_stored_once_when_it_comes_again(
    tmp_path: Path,
) -> None:
    async with harness(tmp_path) as made:
        made.clock.pass_s(600)
        made.gate.refusing = True
        pack = [sampled(SCALE, second * S_US, second) for second in (590, 591)]
        for _ in range(2):
            with pytest.raises(StoreError):
                await made.pipeline.receive(pack)
        made.gate.refusing = False
        await made.pipeline.receive(pack)
        assert made.stored_values() == [590, 591]
        assert told(made) == []


@pytest.mark.asyncio
async def test_a_lot_of_readings_from_elsewhere_is_judged_again_to_the_same_events(
    tmp_path: Path,
) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        for tenth in range(200):
            made.clock.pass_s(0.1)
            mass_mg = 300_000 if 40 < tenth < 160 else 0
            await made.pipeline.receive([sampled(SCALE, tenth * 100_000 + 10_001, mass_mg)])
            if tenth == 100:
                await made.mark()
        await made.pipeline.give(BENCH, lambda at_us: LotClosed(at_us=at_us, bench=BENCH, lot=LOT))
    material = made.history.material(LOT)
    kept = [stored.event for stored in made.history.events(LOT)]
    _, derived = replay(kept, material.readings())
    assert derived == derived_of(kept)
    assert len(derived) >= 2
