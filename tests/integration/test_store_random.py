"""The store beside a plain dict: the same readings in, at any moment the same readings out."""

import asyncio
import random
from pathlib import Path

import pytest
from sealing_samples import DAY_US, HOUR_US, S_US, START_US, blocks, opened

from collector.readings import Quality, Reading
from collector.store import History, Store, stored_readings
from collector.store.records import stored_reading
from collector.store.sealing import Sealing
from collector.store.verify import verify

CHANNELS = ("a", "b", "c")
MINUTE_US = 60 * S_US
SEALING = Sealing(block_readings=40, settled_us=HOUR_US, silent_us=6 * HOUR_US, pause_us=MINUTE_US)
ROUNDS = 70
EVER = 2**62

Known = dict[tuple[str, int], Reading]


class Workshop:
    """Gives readings as they come: on time, late, twice; and remembers the first of each."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)  # noqa: S311 - a test wants it repeatable
        self.now_us = START_US
        self.known: Known = {}

    def batch(self) -> list[Reading]:
        """Return what arrives now."""
        made = [self._reading() for _ in range(self.chance.randint(0, 60))]
        for reading in made:
            self.known.setdefault((reading.channel, reading.taken_us), reading)
        return made

    def _reading(self) -> Reading:
        pick = self.chance.random()
        if pick < 0.1 and self.known:
            known = self.chance.choice(list(self.known))
            return Reading(*known, value=self.chance.randint(-9, 9))
        late = pick < 0.25
        back_us = self.chance.randint(MINUTE_US, 2 * DAY_US) if late else 0
        taken_us = (self.now_us - back_us) // 1000 * 1000
        self.now_us += self.chance.randint(1, 40) * S_US
        return Reading(
            self.chance.choice(CHANNELS),
            taken_us,
            self.chance.choice((self.chance.randint(-(2**63), 2**63 - 1), 21_500)),
            self.chance.choice(tuple(Quality)),
            late,
        )

    def pass_time(self) -> None:
        """Sometimes nothing is measured for hours or days."""
        if self.chance.random() < 0.05:
            self.now_us += self.chance.randint(1, 2 * DAY_US)

    def span(self) -> tuple[int, int]:
        """Return some span, often one that ends with a reading."""
        ends = [self.chance.randint(START_US - DAY_US, self.now_us) for _ in range(2)]
        if self.known and self.chance.random() < 0.5:
            ends[0] = self.chance.choice(list(self.known))[1]
        return min(ends), max(ends)

    def expected(self, channel: str, from_us: int, to_us: int) -> list[Reading]:
        """Return what a curve must show."""
        within = (
            reading
            for reading in self.known.values()
            if reading.channel == channel and from_us <= reading.taken_us <= to_us
        )
        return sorted(within, key=lambda reading: reading.taken_us)


def check(workshop: Workshop, history: History) -> None:
    """Read some span and compare."""
    from_us, to_us = workshop.span()
    shown = {c: workshop.expected(c, from_us, to_us) for c in CHANNELS}
    for channel, expected in shown.items():
        span = history.readings(channel, from_us, to_us)
        columns = (column.tolist() for column in span)
        assert [stored_reading(channel, *row) for row in zip(*columns, strict=True)] == expected
    fed = [reading for part in shown.values() for reading in part if not reading.late]
    fed.sort(key=lambda reading: (reading.taken_us, reading.channel))
    assert list(history.bench_readings(CHANNELS, from_us, to_us)) == fed


async def live(store: Store, workshop: Workshop, chance: random.Random) -> None:
    """Commit, seal and read in any order."""
    history = History(store.folder)
    for _ in range(ROUNDS):
        await store.commit(workshop.batch(), [])
        for _ in range(chance.randint(0, 6)):
            await store.maintain(workshop.now_us)
        if chance.random() < 0.4:
            check(workshop, history)
        workshop.pass_time()
    latest = max(taken_us for _channel, taken_us in workshop.known)
    assert history.last_reading_us(CHANNELS) == latest


@pytest.mark.parametrize("seed", range(6))
def test_the_store_gives_back_what_a_dict_would(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    monkeypatch.setattr(stored_readings, "CHUNK", 30)  # so that a replay takes many
    workshop = Workshop(seed)
    for part in range(2):  # with a restart in between
        with opened(tmp_path, sealing=SEALING) as store:
            asyncio.run(live(store, workshop, random.Random(part)))  # noqa: S311 - as above
    assert verify(tmp_path) == []
    assert len(blocks(tmp_path)) > 40
    history = History(tmp_path)
    for channel in CHANNELS:
        whole = history.readings(channel, -EVER, EVER)
        assert whole.times.tolist() == [
            reading.taken_us for reading in workshop.expected(channel, -EVER, EVER)
        ]
