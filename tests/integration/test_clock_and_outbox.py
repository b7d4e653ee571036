"""What waits to be sent moves with a step of the clock, as what is stored does."""

from pathlib import Path

import pytest
from store_samples import SCALE, START_US, scale_readings

from collector.clock_steps import Move
from collector.events import ClockStepped
from collector.readings import Reading
from collector.store import History, Store
from collector.store.outbox import Outbox

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
