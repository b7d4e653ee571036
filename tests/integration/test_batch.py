"""What waits for the disk: bounded, in order, and told where it could not be held."""

import asyncio
import sqlite3
from collections.abc import AsyncIterator, Sequence
from contextlib import closing
from pathlib import Path

import pytest
import pytest_asyncio
from store_samples import SCALE, START_US, alarm_raised, lot_opened, weighing
from stubborn_store import StubbornStore

from collector import batch as batch_module
from collector.batch import Batch
from collector.clock_steps import Move
from collector.errors import StoreError
from collector.events import AnyEvent
from collector.readings import Reading
from collector.service_events import ClockStepped, ReadingsLost
from collector.store import History
from collector.store.verify import verify

EVER = 2**62


class Desk:
    """A batch, its store, and what it told."""

    def __init__(self, folder: Path) -> None:
        store = StubbornStore.open(folder)
        assert isinstance(store, StubbornStore)
        self.store: StubbornStore = store
        self.told: list[AnyEvent] = []
        self.batch = Batch(store, self._tell)
        self.history = History(folder)

    def _tell(self, _numbers: Sequence[int], events: Sequence[AnyEvent]) -> None:
        self.told += events

    def weigh(self, first: int, count: int) -> None:
        for n in range(first, first + count):
            self.batch.add(Reading(SCALE, START_US + n, n))

    def kept(self) -> list[int]:
        values: list[int] = self.history.readings(SCALE, 0, EVER).values.tolist()
        return values


@pytest_asyncio.fixture
async def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[Desk]:
    monkeypatch.setattr(batch_module, "RETRY_S", 0.01)
    monkeypatch.setattr(batch_module, "MOST_READINGS", 100)
    monkeypatch.setattr(batch_module, "SLICE", 10)
    monkeypatch.setattr(batch_module, "CHUNK", 30)
    made = Desk(tmp_path)
    yield made
    made.store.close()


@pytest.mark.asyncio
async def test_a_refusal_is_told_with_the_room_that_is_left(desk: Desk) -> None:
    desk.store.refusing = True
    desk.weigh(0, 40)
    await desk.batch.write_now()
    assert desk.batch.trouble is not None
    assert (desk.batch.trouble.waiting, desk.batch.trouble.room) == (40, 60)
    await desk.batch.write_now()
    assert desk.batch.trouble.left_us is not None
    desk.store.refusing = False
    await desk.batch.write_now()
    assert desk.batch.trouble is None
    assert desk.kept() == list(range(40))


@pytest.mark.asyncio
async def test_hours_in_memory_are_written_in_pieces_and_the_events_after_all_of_them(
    desk: Desk,
) -> None:
    desk.batch.note([lot_opened()])
    desk.weigh(0, 95)
    await desk.batch.write()
    assert desk.store.asked == 4
    assert desk.kept() == list(range(95))
    assert desk.told == [lot_opened()]


@pytest.mark.asyncio
async def test_a_full_memory_lets_the_oldest_go_and_the_journal_says_so(desk: Desk) -> None:
    desk.store.refusing = True
    desk.batch.note([lot_opened(), alarm_raised("a")])
    desk.weigh(0, 125)
    await desk.batch.write_now()
    assert desk.batch.trouble is not None
    assert desk.batch.trouble.lost == 30
    desk.store.refusing = False
    await desk.batch.write()
    assert desk.kept() == list(range(30, 125))
    lost = ReadingsLost(
        at_us=START_US + 29, bench=None, lot=None, from_us=START_US, to_us=START_US + 29, count=30
    )
    assert [entry.event for entry in desk.history.events_after(0, 9)] == [
        lot_opened(),
        alarm_raised("a"),
        lost,
    ]
    desk.weigh(125, 1)
    await desk.batch.write()
    assert desk.history.last_seq() == 3, "the same loss is told once"


@pytest.mark.asyncio
async def test_what_was_lost_is_told_from_the_earliest_to_the_latest_of_it(desk: Desk) -> None:
    desk.store.refusing = True
    for n in (1, 0, 3, 2):
        desk.weigh(n, 1)
    desk.weigh(9, 1)
    desk.weigh(4, 5)
    desk.weigh(10, 91)
    await desk.batch.write_now()
    desk.store.refusing = False
    await desk.batch.write()
    (entry,) = desk.history.events_of([ReadingsLost])
    assert isinstance(entry.event, ReadingsLost)
    assert (entry.event.from_us, entry.event.to_us) == (START_US, START_US + 9)


@pytest.mark.asyncio
async def test_a_weighing_whose_readings_were_lost_leaves_the_folder_sound(
    desk: Desk, tmp_path: Path
) -> None:
    desk.batch.note([lot_opened()])
    await desk.batch.write()
    desk.store.refusing = True
    desk.weigh(0, 50)
    lost = [Reading(SCALE, START_US + n, n) for n in range(5, 21)]
    desk.batch.note([weighing(lost)])
    desk.weigh(50, 55)
    await desk.batch.write_now()
    desk.store.refusing = False
    await desk.batch.write()
    assert desk.kept()[0] == 10, "some of what the weighing rests on is gone"
    assert verify(tmp_path) == []
    with closing(sqlite3.connect(tmp_path / "pourkeep.db")) as connection, connection:
        connection.execute("DELETE FROM reading WHERE taken_us >= ?", (START_US + 10,))
    (fault,) = verify(tmp_path)  # more than what was lost
    assert "rests on 16 readings" in fault.sentence


@pytest.mark.asyncio
async def test_a_loss_is_not_told_under_a_time_that_another_machine_has_said(desk: Desk) -> None:
    desk.store.refusing = True
    desk.batch.note([lot_opened()])
    for _ in range(10):
        desk.batch.add(Reading(SCALE, 2**60, 0, late=True))
    desk.weigh(0, 96)
    desk.store.refusing = False
    await desk.batch.write()
    lost = desk.told[-1]
    assert isinstance(lost, ReadingsLost)
    assert (lost.at_us, lost.to_us, lost.count) == (START_US, 2**60, 10)


@pytest.mark.asyncio
async def test_a_store_that_hangs_does_not_fill_memory_either(desk: Desk) -> None:
    desk.store.gate.clear()
    writing = asyncio.create_task(desk.batch.write())
    await asyncio.sleep(0)
    desk.weigh(0, 500)
    await asyncio.sleep(0.02)
    assert desk.batch.committing_since_s is not None
    desk.store.gate.set()
    await writing
    assert desk.batch.committing_since_s is None
    await desk.batch.write()
    assert desk.kept() == list(range(400, 500))


@pytest.mark.asyncio
async def test_a_piece_that_is_refused_keeps_its_place(desk: Desk) -> None:
    desk.weigh(0, 70)
    desk.store.refusing = True
    with pytest.raises(StoreError):
        await desk.batch.write()
    desk.weigh(70, 20)
    desk.store.refusing = False
    await desk.batch.write()
    assert desk.kept() == list(range(90))


@pytest.mark.asyncio
async def test_a_step_of_the_clock_moves_what_is_on_disk_and_in_memory_and_what_follows_not(
    desk: Desk,
) -> None:
    desk.weigh(0, 3)
    await desk.batch.write()
    desk.weigh(3, 2)
    desk.batch.note([lot_opened()])
    stepped = step_back(START_US + 4)
    desk.batch.step(stepped, {SCALE: Move(START_US, START_US + 4, -BACK_US)})
    assert desk.batch.unwritten == (lot_opened(), stepped)
    desk.batch.add(Reading(SCALE, START_US + 1, 99))  # the old time of another one
    await desk.batch.write()
    span = desk.history.readings(SCALE, 0, EVER)
    moved = [START_US + n - BACK_US for n in (1, 2, 3, 4)]
    assert span.times.tolist() == [*moved, START_US, START_US + 1]
    assert span.values.tolist() == [1, 2, 3, 4, 0, 99]
    assert desk.told == [lot_opened(), stepped]


@pytest.mark.asyncio
async def test_a_step_that_the_store_refuses_waits_with_all_that_came_before(desk: Desk) -> None:
    desk.weigh(0, 3)
    await desk.batch.write()
    stepped = step_back(START_US + 4)
    desk.store.refusing = True
    desk.batch.step(stepped, {SCALE: Move(START_US, START_US + 4, -BACK_US)})
    desk.weigh(5, 1)
    with pytest.raises(StoreError):
        await desk.batch.write()
    assert desk.history.readings(SCALE, 0, EVER).times.tolist() == [START_US + n for n in range(3)]
    assert not desk.batch.at_rest
    assert desk.batch.unwritten == (stepped,)
    desk.store.refusing = False
    await desk.batch.write()
    assert desk.batch.at_rest
    assert desk.kept() == [1, 2, 0, 5]
    assert desk.told == [stepped]


@pytest.mark.asyncio
async def test_stored_readings_move_as_the_move_says(desk: Desk) -> None:
    """Leaping, shifted or drawn in: also into times that others have not left yet."""
    for n in range(40):
        desk.batch.add(Reading(SCALE, START_US + n * 1_000_003, n))
    await desk.batch.write()
    last_us = START_US + 39 * 1_000_003
    for move in (
        Move(START_US, last_us, 3 * 1_000_003),
        Move(START_US, last_us + 3 * 1_000_003, -1_000_003),
        Move(START_US + 5_000_000, last_us + 2 * 1_000_003, -14_777_777, drawn_in=True),
        Move(START_US + 20_000_000, last_us, 400_000_000),
        Move(START_US + 380_000_000, last_us + 400_000_000, -300_000_000),
    ):
        before = desk.history.readings(SCALE, 0, EVER).times.tolist()
        stepped = ClockStepped(
            at_us=1, bench=None, lot=None, by_us=move.by_us, since_us=move.until_us
        )
        desk.batch.step(stepped, {SCALE: move})
        await desk.batch.write()
        assert desk.history.readings(SCALE, 0, EVER).times.tolist() == [
            move.moved(at_us) for at_us in before
        ]
        assert desk.kept() == list(range(40))


@pytest.mark.asyncio
async def test_readings_a_microsecond_apart_stay_apart_when_they_are_drawn_in(desk: Desk) -> None:
    """On disk and in memory, by one rule: a chunk may lie in both."""
    taken = [START_US + second * 1_000_000 + n for second in range(8) for n in range(3)]
    for place, taken_us in enumerate(taken):
        if place == 13:
            await desk.batch.write()
        desk.batch.add(Reading(SCALE, taken_us, place))
    move = Move(START_US + 2, taken[-1], -3_500_000, drawn_in=True)
    stepped = ClockStepped(
        at_us=taken[-1] - 3_500_000, bench=None, lot=None, by_us=-3_500_000, since_us=taken[-1]
    )
    desk.batch.step(stepped, {SCALE: move})
    await desk.batch.write()
    times = desk.history.readings(SCALE, 0, EVER).times.tolist()
    assert desk.kept() == list(range(24))
    assert times[:3] == taken[:3]
    assert times[-1] == stepped.at_us
    assert all(abs(now - move.moved(was)) <= 2 for was, now in zip(taken, times, strict=True))


@pytest.mark.asyncio
async def test_a_move_that_the_tables_do_not_allow_does_not_hold_up_what_follows(
    desk: Desk, caplog: pytest.LogCaptureFixture
) -> None:
    for taken_us in (START_US, START_US + 5, START_US + 6):
        desk.batch.add(Reading(SCALE, taken_us, taken_us - START_US))
    await desk.batch.write()
    desk.weigh(7, 1)
    stepped = step_back(START_US + 7)
    # Before the reading that stays: no clock keeper asks for this.
    desk.batch.step(stepped, {SCALE: Move(START_US + 4, START_US + 7, -5)})
    desk.weigh(8, 1)
    await desk.batch.write()
    assert desk.batch.at_rest
    assert desk.kept() == [0, 5, 6, 7, 8]
    assert desk.told == [stepped]
    assert "stay under their old times" in caplog.text


BACK_US = 10_000_000


def step_back(since_us: int) -> ClockStepped:
    at_us = since_us - BACK_US
    return ClockStepped(at_us=at_us, bench=None, lot=None, by_us=-BACK_US, since_us=since_us)
