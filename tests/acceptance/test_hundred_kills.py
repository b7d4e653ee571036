"""kill -9, a hundred times, at random moments of simulated lots.

What a dying process leaves is on trial, not what a power cut does: that is
`tests/integration/test_store_power_cut.py`. One second is a real one, whatever the lot's speed.
"""

import random
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from lot_on_tape import START_US, tape_of
from many_lives import Life, Moment, Nursery, nursery
from short_life import SPEED, LifePlan, digest

from collector.alarm_ledger import LEDGER_EVENTS, AlarmLedger
from collector.alarms import VIOLATED
from collector.conclusions import WeighingAccepted
from collector.errors import StoreError
from collector.lot_events import LotOpened
from collector.store import History, Store
from collector.store.verify import verify

SEED = 20261126
LOTS = ((20, 4), (20, 36))
"""Lots of the trial that are played, one in each lane; both have deviations."""

FOLDERS = (7, 15, 28)
"""Lives in each data folder of a lane; the last ones see most of a lot."""

LOST_S = 1.0
"""What may be missing: the readings of one real second."""

PAUSE_US = 2_000_000
EVER = 2**62

MOMENTS = (
    *[("born", 0.025)] * 6,
    *[("replaying", 0.04)] * 10,
    *[("ready", 0.4)] * 6,
    *[("commit", 0.003)] * 10,
    *[("ready", 1.8)] * 18,
)
"""Fifty of one lane: from when on, and how long at most after that."""


def moments_of(lane: int) -> list[Moment]:
    """Return when the lives of a lane end: at random, in a random order."""
    chance = random.Random(f"{SEED}/{lane}")  # noqa: S311 - moments, not secrets
    drawn = [Moment(stage, chance.uniform(0, longest_s)) for stage, longest_s in MOMENTS]
    chance.shuffle(drawn)
    return drawn


class Folder:
    """One data folder through its lives: what was seen and handed in, held against the disk."""

    def __init__(self, path: Path, channels: Sequence[str]) -> None:
        self.path = path
        self.channels = channels
        self.now_us = START_US
        self.lives: list[Life] = []
        self.alarms_stood: list[bool] = []
        self.missing_s: list[float] = []

    @property
    def next_given(self) -> int:
        """What the maker does next, by what the page has told her so far."""
        return max((given for life in self.lives for given in life.givens), default=-1) + 1

    def live(self, made_by: Nursery, moment: Moment) -> None:
        """Let one service live on it and die, and look at what that left."""
        plan = LifePlan(str(self.path), self.now_us, self.next_given)
        life = made_by.live(plan, moment)
        self.lives.append(life)
        lived_ns = life.killed_ns - life.stages.get("born", life.killed_ns)
        since_us = self.now_us
        self.now_us += int(lived_ns / 1000 * SPEED) + PAUSE_US
        self._open_if_new_born()
        assert verify(self.path) == []
        self.assert_nothing_seen_is_gone()
        self.assert_at_most_a_second_is_missing(life, since_us)
        self.alarms_stood.append(self._alarms_stand())

    def _open_if_new_born(self) -> None:
        """A store that died before its tables were made is opened as a service would."""
        try:
            History(self.path).last_seq()
        except StoreError:
            assert not any(life.stages.get("ready") for life in self.lives)
            Store.open(self.path).close()

    def assert_nothing_seen_is_gone(self) -> None:
        """Look up by its number each event that a screen was shown, in any life so far."""
        stored = {one.seq: one.event for one in History(self.path).events_after(0, EVER)}
        for life in self.lives:
            for seq, seen in life.seen.items():
                assert digest(stored[seq]) == seen

    def assert_at_most_a_second_is_missing(self, life: Life, since_us: int) -> None:
        """Hold what is stored of each channel against what was handed in, in its order."""
        history = History(self.path)
        for place, channel in enumerate(self.channels):
            handed_in = [one for one in life.handed_in if one.channel == place]
            stored = [
                (one.value, int(one.quality))
                for one in history.bench_readings([channel], since_us, self.now_us)
            ]
            assert stored == [(one.value, one.quality) for one in handed_in][: len(stored)]
            for oldest in handed_in[len(stored) :][:1]:
                self.missing_s.append((life.killed_ns - oldest.at_ns) / 1e9)
                assert self.missing_s[-1] <= LOST_S

    def _alarms_stand(self) -> bool:
        events = History(self.path).events_of(LEDGER_EVENTS)
        ledger = AlarmLedger(stored.event for stored in events)
        return any(alarm.state in VIOLATED for alarm in ledger.alarms.values())


def run_lane(lane: int, folder: Path) -> list[Folder]:
    """Kill fifty services, one after the other, on several folders."""
    tape = tape_of(*LOTS[lane])
    moments = iter(moments_of(lane))
    channels = [channel.name for channel in tape.channels]
    folders = [Folder(folder / f"{lane}{n}", channels) for n in range(len(FOLDERS))]
    with nursery(*LOTS[lane]) as made_by:
        for data, lives in zip(folders, FOLDERS, strict=True):
            for _ in range(lives):
                data.live(made_by, next(moments))
    assert next(moments, None) is None
    return folders


def summary(folders: Sequence[Folder]) -> dict[str, int]:
    """Count what the kills fell into, and what had happened by then."""
    lives = [life for folder in folders for life in folder.lives]
    struck = Counter(life.struck for life in lives)
    stood = sum(stood for folder in folders for stood in folder.alarms_stood)
    return {
        **struck,
        "lives": len(lives),
        "with alarms standing": stood,
        "longer than a second": sum(life.collected_s > LOST_S for life in lives),
        "events seen": sum(len(life.seen) for life in lives),
        "readings handed in": sum(len(life.handed_in) for life in lives),
        "judged otherwise": sum("differ" in text for life in lives for text in life.warnings),
        "in already": sum("already" in text for life in lives for text in life.warnings),
    }


def assert_they_fell_at_different_moments(found: dict[str, int]) -> None:
    least = {
        "start": 4,
        "replay": 5,
        "before the first commit": 5,
        "commit": 3,
        "between commits": 20,
        "with alarms standing": 10,
        "longer than a second": 8,
        "events seen": 50,
    }
    for what, number in least.items():
        assert found.get(what, 0) >= number, found


@pytest.mark.timeout(240)
def test_a_hundred_kills_cost_no_event_and_at_most_a_second_of_readings(tmp_path: Path) -> None:
    with ThreadPoolExecutor(len(LOTS)) as lanes:
        ran = list(lanes.map(run_lane, range(len(LOTS)), [tmp_path] * len(LOTS)))
    folders = [folder for lane in ran for folder in lane]
    found = summary(folders)
    assert found["lives"] == 100, found
    assert found["judged otherwise"] == 0, found
    assert_they_fell_at_different_moments(found)
    assert max(missing_s for folder in folders for missing_s in folder.missing_s) > 0.2
    for folder in folders:
        Store.open(folder.path).close()
        folder.assert_nothing_seen_is_gone()
        assert verify(folder.path) == []
    for *_, longest in ran:
        history = History(longest.path)
        assert len(history.events_of([LotOpened])) == 1
        assert history.events_of([WeighingAccepted])
