"""The one path of readings and events: what is on disk when, and what survives trouble."""

import asyncio
import logging
from pathlib import Path

import pytest
from pipeline_at_hand import EVER, LOT, Harness, first_quiet, harness
from workshop_at_hand import (
    BENCH,
    JUG,
    MORNING_US,
    POT,
    SCALE,
    config,
    until,
)

from collector import batch as batch_module
from collector.bench import Bench, Input
from collector.errors import ConflictError, PourkeepError, StoreError
from collector.events import AnyDerived
from collector.inbox import Inbox
from collector.instrument_state import InstrumentState
from collector.live import Happened, Notice
from collector.lot_events import LotClosed, LotOpened, PhaseMarked
from collector.phases import Edge, Phase
from collector.pipeline import channels_at
from collector.readers.link import LinkFailed, LinkOpened, Sampled
from collector.readings import Quantity, Reading, Sample
from collector.store.verify import verify


@pytest.fixture(autouse=True)
def short_retries(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(batch_module, "RETRY_S", 0.02)


@pytest.mark.asyncio
async def test_an_event_is_on_disk_before_any_screen_hears_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with harness(tmp_path) as made:
        on_disk_when_told: list[bool] = []
        tell = made.pipeline.live.tell

        def look_and_tell(notice: Notice) -> None:
            if isinstance(notice, Happened):
                kept = made.history.events_after(notice.seq - 1, 1)
                on_disk_when_told.append([entry.event for entry in kept] == [notice.event])
            tell(notice)

        monkeypatch.setattr(made.pipeline.live, "tell", look_and_tell)
        await made.open_lot()
        await made.mark()
        await made.mark(edge=Edge.END)
    assert len(on_disk_when_told) >= 5  # an opening, two marks, a phase that begins and ends
    assert all(on_disk_when_told)


@pytest.mark.asyncio
async def test_no_screen_sees_a_phase_that_is_not_on_disk(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        with made.pipeline.live.screen() as screen:
            made.gate.gate.clear()
            marking = asyncio.create_task(made.mark())
            await asyncio.sleep(0.25)  # screens are refreshed twice meanwhile
            assert made.pipeline.status(BENCH).phase is None
            made.gate.gate.set()
            await marking
            assert made.pipeline.status(BENCH).phase == Phase.STIR
            told = [notice async for notice in first_quiet(screen.notices(0.02))]
    kinds = [type(notice).__name__ for notice in told]
    assert kinds.index("Happened") < kinds.index("BenchStatus")


@pytest.mark.asyncio
async def test_a_plain_reading_is_on_disk_within_a_second(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        loop = asyncio.get_running_loop()
        await asyncio.sleep(0.05)
        said_s = loop.time()
        made.weigh(1_000)
        await until(lambda: made.stored_values() == [1_000])
        assert loop.time() - said_s < 1.0


@pytest.mark.asyncio
async def test_the_readings_that_an_event_rests_on_are_stored_with_it(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        made.gate.gate.clear()  # so that nothing is stored before the mark asks for it
        for mass_mg in (100, 200, 300):
            made.weigh(mass_mg)
        await asyncio.sleep(0.02)
        marking = asyncio.create_task(made.mark())
        await asyncio.sleep(0.02)
        made.gate.gate.set()
        await marking
        assert made.stored_values() == [100, 200, 300]


@pytest.mark.asyncio
async def test_a_store_that_refuses_costs_nothing_and_is_said(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        made.gate.refusing = True
        made.weigh(1_000)
        with pytest.raises(StoreError, match=r"full.*do not repeat it"):
            await made.mark()
        await until(lambda: (made.pipeline.trouble or "").startswith("the disk is full Collection"))
        made.weigh(2_000)
        assert made.stored_values() == []
        made.gate.refusing = False
        await until(lambda: made.stored_values() == [1_000, 2_000])
        await until(lambda: made.pipeline.trouble is None)
        marks = [event for event in made.stored() if isinstance(event, PhaseMarked)]
        assert len(marks) == 1
    seqs = [stored.seq for stored in made.history.events_after(0, 100)]
    assert seqs == list(range(1, len(seqs) + 1))


@pytest.mark.asyncio
async def test_readings_stay_in_order_over_a_refusal(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        made.gate.refusing = True
        for number in range(20):
            made.weigh(number * 100)
            await asyncio.sleep(0.005)
        made.gate.refusing = False
        await until(lambda: len(made.stored_values()) == 20)
        assert made.stored_values() == [number * 100 for number in range(20)]


@pytest.mark.asyncio
async def test_a_stop_in_mid_commit_neither_loses_nor_doubles_an_event(tmp_path: Path) -> None:
    made = Harness(config(tmp_path))
    running = asyncio.create_task(made.pipeline.run())
    await made.open_lot()
    made.gate.gate.clear()
    with made.pipeline.live.screen() as screen:
        marking = asyncio.create_task(made.mark())
        made.weigh(500)
        await until(lambda: made.gate.asked >= 2)
        running.cancel()
        marking.cancel()
        await asyncio.sleep(0.02)
        running.cancel()  # asked again, it still sees the commit through
        made.gate.gate.set()
        results = await asyncio.gather(running, marking, return_exceptions=True)
        told = [n.event async for n in first_quiet(screen.notices(0.02)) if isinstance(n, Happened)]
    assert all(isinstance(result, asyncio.CancelledError) for result in results)
    made.store.close()
    assert len([event for event in made.stored() if isinstance(event, PhaseMarked)]) == 1
    assert made.stored_values() == [500]
    assert told == [event for event in made.stored() if not isinstance(event, LotOpened)]
    assert verify(tmp_path) == []


@pytest.mark.asyncio
async def test_a_stop_while_the_store_refuses_writes_the_batch_once_it_can(tmp_path: Path) -> None:
    made = Harness(config(tmp_path))
    running = asyncio.create_task(made.pipeline.run())
    await made.open_lot()
    made.gate.gate.clear()
    made.gate.refusing = True
    marking = asyncio.create_task(made.mark())
    await until(lambda: made.gate.asked >= 2)
    marking.cancel()  # in the middle of a commit that will be refused
    await asyncio.sleep(0)
    made.gate.gate.set()
    with pytest.raises(asyncio.CancelledError):
        await marking
    made.gate.refusing = False
    running.cancel()
    with pytest.raises(asyncio.CancelledError):
        await running
    made.store.close()
    assert len([event for event in made.stored() if isinstance(event, PhaseMarked)]) == 1


@pytest.mark.asyncio
async def test_a_stop_with_a_store_that_goes_on_refusing_says_so(tmp_path: Path) -> None:
    made = Harness(config(tmp_path))
    running = asyncio.create_task(made.pipeline.run())
    await made.open_lot()
    made.gate.refusing = True
    made.weigh(500)
    await until(lambda: made.pipeline.trouble is not None)
    running.cancel()
    with pytest.raises(StoreError, match="full"):
        await running
    made.store.close()


@pytest.mark.asyncio
async def test_an_opening_at_a_busy_bench_is_refused_and_leaves_nothing(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        results = await asyncio.gather(
            made.open_lot("2026-11-25-1"), made.open_lot("2026-11-25-2"), return_exceptions=True
        )
        assert results[0] is None
        assert isinstance(results[1], ConflictError)
        assert results[1].details == {"lot": "2026-11-25-1"}
    assert len([event for event in made.stored() if isinstance(event, LotOpened)]) == 1


@pytest.mark.asyncio
async def test_an_event_of_a_lot_that_was_closed_meanwhile_is_refused(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        close = [
            made.pipeline.give(BENCH, lambda at_us: LotClosed(at_us=at_us, bench=BENCH, lot=LOT))
            for _ in range(2)
        ]
        results = await asyncio.gather(*close, return_exceptions=True)
        assert [type(result) for result in results] == [LotClosed, ConflictError]
        with pytest.raises(ConflictError, match="not open"):
            await made.mark()
    assert len([event for event in made.stored() if isinstance(event, LotClosed)]) == 1


@pytest.mark.asyncio
async def test_no_two_inputs_of_a_bench_share_a_microsecond(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        for mass_mg in (1_000, 2_000, 3_000):
            made.weigh(mass_mg, after_s=0)  # the clock stands still
        await made.pipeline.give(
            BENCH,
            lambda at_us: PhaseMarked(
                at_us=at_us, bench=BENCH, lot=LOT, phase=Phase.STIR, edge=Edge.BEGIN
            ),
        )
        await until(lambda: len(made.stored_values()) == 3)
        marks = [event.at_us for event in made.stored() if isinstance(event, PhaseMarked)]
        times = made.history.readings(SCALE, 0, EVER).times.tolist()
    assert len({*times, *marks}) == 4


@pytest.mark.asyncio
async def test_a_reading_from_before_a_mark_counts_after_it_where_it_came_later(
    tmp_path: Path,
) -> None:
    async with harness(tmp_path) as made:
        await made.open_lot()
        early_us = made.clock.now_us() + 1
        marked = await made.mark()
        made.pipeline.inbox.put(Sampled(SCALE, early_us, Sample(Quantity.MASS, 700)))
        await until(lambda: made.stored_values() == [700])
        (taken_us,) = made.history.readings(SCALE, 0, EVER).times.tolist()
    assert taken_us > marked.at_us


@pytest.mark.asyncio
async def test_a_lot_that_begins_with_a_lost_instrument_knows_it(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        now_us = made.clock.now_us()
        made.pipeline.inbox.put(LinkFailed(SCALE, now_us, "gone", "Plug it in"))
        await until(lambda: made.pipeline.instruments[SCALE].reason == "gone")
        made.clock.pass_s(1)
        await made.open_lot()
        in_lot = [type(event).__name__ for event in made.stored() if event.lot == LOT]
        assert in_lot == ["LotOpened", "InstrumentLost"]
        made.clock.pass_s(1)
        made.pipeline.inbox.put(LinkOpened(SCALE, made.clock.now_us()))
        await until(lambda: made.pipeline.instruments[SCALE].reason is None)
        await until(lambda: type(made.stored()[-1]).__name__ == "InstrumentFound")


@pytest.mark.asyncio
async def test_screens_are_told_of_every_change_of_an_instrument(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        with made.pipeline.live.screen() as screen:
            made.pipeline.inbox.put(LinkFailed(SCALE, made.clock.now_us(), "gone", "Plug it in"))
            await asyncio.sleep(0.15)
            made.weigh(100)
            await asyncio.sleep(0.15)
            told = [notice async for notice in first_quiet(screen.notices(0.02))]
    states = [n.state.value for n in told if isinstance(n, InstrumentState)]
    assert states == ["lost", "reading"]


@pytest.mark.asyncio
async def test_dropped_samples_are_said_in_the_log(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    async with harness(tmp_path) as made:
        made.pipeline.inbox.dropped = 3
        made.weigh(100)
        await until(lambda: made.stored_values() == [100])
    said = [r.getMessage() for r in caplog.records if r.levelno >= logging.ERROR]
    assert said == ["3 samples so far were dropped: the service did not keep up"]


class BrokenBench(Bench):
    """A bench with a defect: a reading above a kilogram is too much for it."""

    def feed(self, item: Input) -> list[AnyDerived]:
        """Break at the heavy reading."""
        if isinstance(item, Reading) and item.value > 1_000_000:
            raise ZeroDivisionError("a defect")
        return super().feed(item)


@pytest.mark.asyncio
async def test_a_defect_ends_the_pipeline_but_costs_no_reading(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    settings = config(tmp_path)
    broken = BrokenBench(BENCH, channels_at(settings, BENCH), settings.display, MORNING_US)
    made = Harness(settings, [broken])
    running = asyncio.create_task(made.pipeline.run())
    made.weigh(500)
    made.weigh(2_000_000)
    with pytest.raises(PourkeepError, match="defect of its own"):
        await asyncio.wait_for(running, 5)
    made.store.close()
    assert made.stored_values() == [500, 2_000_000]
    assert any(record.exc_info for record in caplog.records)


@pytest.mark.asyncio
async def test_an_inbox_belongs_to_the_loop_that_made_it(tmp_path: Path) -> None:
    async with harness(tmp_path) as made:
        assert isinstance(made.pipeline.inbox, Inbox)
        assert {c.name for c in channels_at(made.pipeline.config, BENCH)} == {SCALE, JUG, POT}
