"""Lets a program's time follow a step of the system's clock, and all it has taken with it."""

import logging
from collections import defaultdict
from collections.abc import Iterable, Mapping

from collector.batch import Batch
from collector.clock import Clock, CorrectableClock, synchronized
from collector.clock_keeper import ClockKeeper, Step

_LOG = logging.getLogger(__name__)


def begin_after(clock: Clock, stored_us: int) -> None:
    """Let time begin after all that is stored, whatever the system's clock says.

    A machine without a clock that runs on wakes up in its past, until it meets the network.
    """
    behind_us = stored_us + 1 - clock.now_us()
    if behind_us > 0 and isinstance(clock, CorrectableClock):
        _LOG.warning(
            "the system's clock is %.0f s before what was stored last: time goes on from there",
            behind_us / 1e6,
        )
        clock.adopt(behind_us)


class TimeFollower:
    """Watches the clock of one run; `bench_of` names the bench of each channel that it times.

    `stored_us` is the time of what was stored last before the run.
    """

    def __init__(
        self,
        clock: CorrectableClock,
        stored_us: int,
        batch: Batch,
        benches: Iterable[str],
        bench_of: Mapping[str, str],
    ) -> None:
        self._batch = batch
        self._bench_of = bench_of
        self.keeper = ClockKeeper(clock, stored_us, benches)

    def due(self) -> Step | None:
        """Return a step that can be followed now, while no lot is open; None if there is none."""
        if not self._batch.at_rest:
            return None
        sealed: dict[str, list[str]] = defaultdict(list)
        for channel, bench in self._bench_of.items():
            sealed[bench].append(channel)
        until = {bench: self._batch.sealed_until_us(channels) for bench, channels in sealed.items()}
        return self.keeper.due(self._batch.latest_us, until)

    @property
    def is_sure(self) -> bool:
        """Whether the time is what it should be, as far as anybody can tell."""
        state = self.keeper.state
        return not state.known_us and not state.behind and synchronized() is not False

    def follow(self, step: Step) -> None:
        """Move time, and the readings that were taken before."""
        _LOG.warning("the time moves by %.3f s, as the clock did", step.stepped.by_us / 1e6)
        self.keeper.follow(step.stepped)
        moves = {
            channel: step.moves[bench]
            for channel, bench in self._bench_of.items()
            if bench in step.moves
        }
        self._batch.step(step.stepped, moves)
