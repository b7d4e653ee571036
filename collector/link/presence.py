"""Whether a bench is there, by what it tells and for how long it has told nothing."""

from collections.abc import Mapping

import msgspec

from collector.display import duration
from collector.instrument_state import LinkState
from collector.late import LAG_US
from collector.link.bench_state import BenchState, InstrumentLink
from collector.readers.link import LinkFailed, LinkOpened

QUIET_US = 8_000_000
"""A bench tells its state every 3 s; when two are missing and a bit more, it is gone. The broker
may need 12 s to notice, for it looks only every few seconds: a silence must be an alarm in 15."""

CLOCKS_APART_US = 2_000_000
"""Clocks that differ by more are told: what a bench sends would be too late to be judged."""

CLOCK_LOOKS = 3
"""Looks in a row that show it: a single message may have waited on its way."""


class Moment(msgspec.Struct, frozen=True):
    """A moment by two clocks, microseconds.

    `now_us` is UTC, for the times that are told. `steady_us` is of a clock that only goes forward
    and never steps: it alone says how long something has lasted.
    """

    now_us: int
    steady_us: int


_Trouble = tuple[str, str]  # a reason, and what can be done


class BenchPresence:
    """Follows one bench; `instruments` are the names here by the names there.

    Each method returns what has changed for the instruments, timed as the bench's readings are:
    a little behind the clock.
    """

    def __init__(self, bench: str, instruments: Mapping[str, str]) -> None:
        self._bench = bench
        self._instruments = instruments
        self._heard_us: int | None = None  # steady; since it told that it is online
        self._sends = False
        self._gone: _Trouble | None = None
        self._hub: _Trouble | None = None
        self._clock: _Trouble | None = None
        self._clock_looks = 0
        self._links: dict[str, InstrumentLink] = {}
        self._told: dict[str, _Trouble | None] = {}

    def told(
        self, state: BenchState, at: Moment, *, retained: bool = False
    ) -> list[LinkFailed | LinkOpened]:
        """Take what the bench tells; `retained` says that it told it some time ago."""
        if not state.online:
            self._heard_us = None
            self._gone = self._absence(state.reason)
            return self._changes(at.now_us)
        self._heard_us, self._gone = at.steady_us, None
        self._links = {link.name: link for link in state.instruments}
        if not retained and state.at_us is not None:
            self._compare_clocks(at.now_us - state.at_us)
        return self._changes(at.now_us)

    def heard(self, at: Moment) -> list[LinkFailed | LinkOpened]:
        """Take note that readings came from it. A bench that tells no state is there by them."""
        self._sends = True
        if self._heard_us is not None:
            self._heard_us = at.steady_us
        return self._changes(at.now_us)

    def tick(self, at: Moment) -> list[LinkFailed | LinkOpened]:
        """Let time pass."""
        if self._heard_us is not None and at.steady_us - self._heard_us >= QUIET_US:
            quiet = duration(at.steady_us - self._heard_us)
            self._heard_us, self._gone = None, self._absence(f"it has told nothing for {quiet}")
        return self._changes(at.now_us)

    def cut(self, reason: str, remedy: str, now_us: int) -> list[LinkFailed | LinkOpened]:
        """Take note that this machine has no connection to the broker: nothing can be heard."""
        self._heard_us = None
        self._hub = (f"this machine has no connection to the broker: {reason}", remedy)
        return self._changes(now_us)

    def restored(self) -> None:
        """Take note that the broker is back; what the bench told last comes at once."""
        self._hub = None

    def _absence(self, reason: str | None) -> _Trouble:
        return (
            f"bench {self._bench} is offline: {reason or 'it says so'}",
            f"See that the machine at bench {self._bench} has power and network and runs pourkeep.",
        )

    def _compare_clocks(self, behind_us: int) -> None:
        apart = abs(behind_us) > CLOCKS_APART_US
        self._clock_looks = self._clock_looks + 1 if apart else 0
        if not apart:
            self._clock = None
        elif self._clock_looks >= CLOCK_LOOKS and self._clock is None:
            where = "behind" if behind_us > 0 else "ahead of"
            apart_by = f"{duration(abs(behind_us))} {where} this machine's"
            self._clock = (
                f"the clock of bench {self._bench} is {apart_by}",
                "Let both machines set their clocks by the network (systemd-timesyncd or chrony).",
            )

    # ------------------------------------------------------------ what has changed

    def _trouble(self, device: str) -> _Trouble | None:
        whole = self._hub or self._gone or self._clock
        link = self._links.get(device)
        if whole is not None or link is None or link.state != LinkState.LOST:
            return whole
        return link.reason or "its port fails", link.remedy or ""

    def _changes(self, now_us: int) -> list[LinkFailed | LinkOpened]:
        changes: list[LinkFailed | LinkOpened] = []
        for device, name in self._instruments.items():
            trouble, at_us = self._trouble(device), now_us - LAG_US
            known = self._sends or self._heard_us is not None or trouble is not None
            if not known or self._told.get(name, ("", "")) == trouble:
                continue
            self._told[name] = trouble
            opened = LinkOpened(name, at_us)
            changes.append(opened if trouble is None else LinkFailed(name, at_us, *trouble))
        return changes
