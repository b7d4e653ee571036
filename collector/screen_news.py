"""What the screens are told: events that are on disk, and what has changed since the last look."""

from collections.abc import Mapping, Sequence

from collector.alarm_ledger import AlarmLedger
from collector.batch import Batch
from collector.bench import Bench
from collector.clock import Clock
from collector.events import AnyEvent
from collector.guidance import BenchStatus, status_of
from collector.instrument_state import InstrumentState
from collector.live import Happened, Live


class ScreenNews:
    """Tells `live` of a workshop's events, instruments, alarms and benches.

    `instruments` is the pipeline's own table, which changes as they do.
    """

    def __init__(
        self,
        live: Live,
        ledger: AlarmLedger,
        benches: Mapping[str, Bench],
        instruments: Mapping[str, InstrumentState],
        clock: Clock,
    ) -> None:
        self._live = live
        self._ledger = ledger
        self._benches = benches
        self._instruments = instruments
        self._clock = clock
        self._told = dict(instruments)
        self._statuses: dict[str, BenchStatus] = {}

    def happened(self, numbers: Sequence[int], events: Sequence[AnyEvent]) -> None:
        """Tell of events that are on disk, each with its number and what it made of alarms."""
        changes = [(event, self._ledger.apply(event)) for event in events]
        for seq, (event, changed) in zip(numbers, changes, strict=True):
            # As they stand after all of it: what is part of another by now is not announced.
            alarms = tuple(self._ledger.find(alarm.raised.alarm) for alarm in changed)
            self._live.tell(Happened(seq, event, alarms))

    def refresh(self, batch: Batch) -> None:
        """Tell what has changed; what is shown of benches is on disk first."""
        self._live.refresh()
        self._tell_instruments()
        if not batch.stepping:  # what was put aside moves with a step of the clock
            for alarm in self._ledger.expired(self._clock.now_us()):
                self._live.tell(alarm)
        self.tell_statuses(batch)

    def tell_statuses(self, batch: Batch) -> None:
        """Tell where benches stand, as far as that is on disk."""
        if batch.unwritten:
            return
        for name, bench in self._benches.items():
            status = status_of(bench)
            if self._statuses.get(name) != status:
                self._statuses[name] = status
                self._live.tell(status)

    def status(self, bench: str) -> BenchStatus:
        """Return where a bench was told to stand; before the first time, where it stands."""
        return self._statuses.get(bench) or status_of(self._benches[bench])

    def _tell_instruments(self) -> None:
        now_us = self._clock.now_us()
        for name, state in self._instruments.items():
            shown, told = state.at(now_us), self._told[name]
            if (shown.state, shown.reason) != (told.state, told.reason):
                self._told[name] = shown
                self._live.tell(shown)
