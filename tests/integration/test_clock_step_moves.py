"""What a step of the clock moves beside the rows, and what it leaves: outboxes, sealed blocks."""

from pathlib import Path

import pytest
from store_samples import SCALE, START_US, scale_readings

from collector.batch import Batch
from collector.clock import SystemClock
from collector.clock_steps import Move
from collector.readings import Reading
from collector.service_events import ClockStepped
from collector.store import History, Store
from collector.store.outbox import Outbox
from collector.store.sealing import Sealing
from collector.store.verify import verify
from collector.time_follower import TimeFollower

HOUR_US = 3_600_000_000
OTHER = "mole-pot"


@pytest.mark.asyncio
@pytest.mark.parametrize("by_us", [HOUR_US, -HOUR_US, 2_000])
async def test_what_waits_goes_out_under_its_true_time(tmp_path: Path, by_us: int) -> None:
    store = Store.open(tmp_path, ["here", "there"])
    await store.commit([*scale_readings(), *scale_readings(channel=OTHER)], [])
    move = Move(START_US - 1, START_US + 4_000, by_us)
    now_us = START_US + 5_000
    stepped = ClockStepped(at_us=now_us + by_us, bench=None, lot=None, by_us=by_us, since_us=now_us)
    await store.commit_step([], [stepped], {SCALE: move})
    for target in ("here", "there"):
        first, second = await Outbox(store, target).waiting(0, 9)
        sent = {(r.channel, r.taken_us) for r in first.readings}
        kept = {(c, t) for c in (SCALE, OTHER) for t in times(tmp_path, c)}
        assert sent == kept
        assert (SCALE, START_US + by_us) in sent
        assert (OTHER, START_US) in sent
        assert [entry.event for entry in second.events] == [stepped]
    store.close()


@pytest.mark.asyncio
async def test_what_is_drawn_in_goes_out_under_the_times_that_are_kept(tmp_path: Path) -> None:
    store = Store.open(tmp_path, ["here"])
    taken = [START_US + second * 1_000_000 + n for second in range(4) for n in range(3)]
    made = [Reading(SCALE, taken_us, n) for n, taken_us in enumerate(taken)]
    await store.commit(made[:7], [])  # in the middle of a chunk
    by_us = START_US - taken[-1] + 1_600_000
    stepped = ClockStepped(
        at_us=taken[-1] + by_us, bench=None, lot=None, by_us=by_us, since_us=taken[-1]
    )
    move = Move(START_US - 1, taken[-1], by_us, drawn_in=True)
    await store.commit_step(made[7:], [stepped], {SCALE: move})
    sent = [r.taken_us for one in await Outbox(store, "here").waiting(0, 9) for r in one.readings]
    assert sent == times(tmp_path, SCALE)
    assert sent == sorted(set(sent))
    assert len(sent) == len(taken)
    assert sent[-1] == stepped.at_us
    store.close()


def times(folder: Path, channel: str) -> list[int]:
    found: list[int] = History(folder).readings(channel, 0, 2**62).times.tolist()
    return found


@pytest.mark.asyncio
@pytest.mark.parametrize("by_us", [-HOUR_US, 2 * HOUR_US])
async def test_what_is_sealed_stays_and_what_moves_comes_after_it(
    tmp_path: Path, by_us: int
) -> None:
    """Five hours at 1 Hz on the wrong time, the first three of them sealed by then."""
    store = Store.open(tmp_path, sealing=Sealing(block_readings=3_600, settled_us=HOUR_US))
    batch = Batch(store, lambda _numbers, _events: None)
    true_us, wrong_us = START_US, -by_us
    clock = SystemClock(lambda: true_us + wrong_us, lambda: true_us)
    time = TimeFollower(clock, clock.now_us() - 1, batch, ["mole"], {SCALE: "mole"})
    for second in range(5 * 3_600):
        true_us = START_US + second * 1_000_000
        batch.add(Reading(SCALE, clock.now_us(), second))
    await batch.write()
    for _ in range(3):
        await store.maintain(clock.now_us() - HOUR_US)
    sealed_us = store.sealed_until_us([SCALE])
    before = History(tmp_path).readings(SCALE, 0, 2**62)
    assert int((before.times <= sealed_us).sum()) == 3 * 3_600
    wrong_us = 0
    for _ in range(2):
        time.keeper.look()
    step = time.due()
    assert step is not None
    time.follow(step)
    await batch.write()
    after = History(tmp_path).readings(SCALE, 0, 2**62)
    assert after.values.tolist() == list(range(5 * 3_600)), "none lost, and in their order"
    assert after.times[: 3 * 3_600].tolist() == before.times[: 3 * 3_600].tolist()
    assert int(after.times[-1]) == true_us
    store.close()
    assert verify(tmp_path) == []
