"""Readings that were timed elsewhere: each under its own time, once, judged or kept as late."""

import asyncio
from collections.abc import Callable, Iterable, Mapping, Sequence

import msgspec

from collector.batch import Batch
from collector.bench import Bench
from collector.clock import Clock
from collector.late import AHEAD_US, LateRuns
from collector.readers.link import Sampled
from collector.readings import Channel, Reading
from collector.store.history import History

Key = tuple[str, int]  # channel and time taken: what a reading is known by

GAP_US = 3_600_000_000
"""Times further apart are looked up apart: a message may hold a reading of last year."""


class Arrivals:
    """Takes what comes over a network for the benches of a pipeline.

    `keep` passes a reading on: to the bench as well unless it is late.
    """

    def __init__(  # noqa: PLR0913, PLR0917 - one for each part of the pipeline that it meets
        self,
        batch: Batch,
        history: History,
        benches: Mapping[str, Bench],
        channels: Mapping[str, Channel],
        clock: Clock,
        keep: Callable[[Reading], object],
    ) -> None:
        self._batch = batch
        self._history = history
        self._benches = benches
        self._channels = channels
        self._clock = clock
        self._keep = keep
        self._runs = LateRuns()
        self._latest_us: dict[str, int] = {}  # by channel, of all that was ever stored of it

    async def receive(self, samples: Sequence[Sampled]) -> None:
        """Take samples, and return when they are on disk. Raises StoreError: send them again.

        One that is there already is left alone: it was judged or not when it came first, and a
        replay does as its row says. One whose bench has gone on is kept as late.
        """
        readings = [
            Reading(one.instrument, one.taken_us, one.sample.value, one.sample.quality)
            for one in sorted(samples, key=lambda one: (one.taken_us, one.instrument))
        ]
        known = await self._stored_of(readings)
        now_us = self._clock.now_us()
        for reading in readings:
            key = reading.channel, reading.taken_us
            if key not in known:
                known.add(key)
                self._take(reading, now_us)
        await self._batch.write()

    def tell_runs(self, *, of: str | None = None) -> None:
        """Tell what came late: what is over, or at once what a bench has."""
        for name in [of] if of is not None else self._runs.over(self._clock.now_us()):
            bench, run = self._benches[name], self._runs.take(name)
            if run is not None:
                given = run.told(name, bench.lot, bench.now_us + 1)
                self._batch.note([given, *bench.feed(given)])

    def _in_time(self, reading: Reading) -> bool:
        bench = self._benches[self._channels[reading.channel].bench]
        return bench.now_us < reading.taken_us <= self._clock.now_us() + AHEAD_US

    def _take(self, reading: Reading, now_us: int) -> None:
        """Judge a reading that is not stored, or keep it as late."""
        latest_us = self._latest_us[reading.channel]
        self._latest_us[reading.channel] = max(latest_us, reading.taken_us)
        if self._in_time(reading):
            self._keep(reading)
            return
        self._keep(msgspec.structs.replace(reading, late=True))
        self._runs.add(self._channels[reading.channel].bench, reading.taken_us, now_us)

    async def _stored_of(self, readings: Sequence[Reading]) -> set[Key]:
        """Return which of them are stored. Raises StoreError.

        What is newer than all of its channel cannot be: that is nearly always so, and costs a
        comparison. The rest may be, in time for its bench or not: one that came ahead of the
        clock is stored ahead of its bench.
        """
        for channel in {one.channel for one in readings} - self._latest_us.keys():
            stored_us = await asyncio.to_thread(self._history.last_reading_us, [channel])
            self._latest_us[channel] = stored_us or 0
        old = [one for one in readings if one.taken_us <= self._latest_us[one.channel]]
        if not old:
            return set()
        await self._batch.write()  # what is only pending could not be seen in the store
        return await asyncio.to_thread(self._known, old)

    def _known(self, readings: Iterable[Reading]) -> set[Key]:
        """Return which of them are stored. Raises StoreError."""
        times: dict[str, list[int]] = {}
        for reading in readings:
            times.setdefault(reading.channel, []).append(reading.taken_us)
        return {
            (channel, taken_us)
            for channel, wanted in times.items()
            for from_us, to_us in spans(wanted)
            for taken_us in self._history.readings(channel, from_us, to_us).times.tolist()
        }


def spans(times: Iterable[int]) -> list[tuple[int, int]]:
    """Return the spans, ends included, that hold all the times and no gap of over `GAP_US`."""
    found: list[tuple[int, int]] = []
    for time_us in sorted(times):
        if found and time_us - found[-1][1] <= GAP_US:
            found[-1] = (found[-1][0], time_us)
        else:
            found.append((time_us, time_us))
    return found
