"""Does each event stand on something? Its lot was open, its readings are there."""

from collections.abc import Callable, Iterator

from collector.events import AnyEvent, Derived, Evidence, LotOpened, WeighingAccepted
from collector.store.faults import Fault, at_event

CountReadings = Callable[[Evidence], int]
"""How many readings are stored in an evidence's span, ends included."""


class EvidenceAudit:
    """Compares each weighing's evidence with the stored readings."""

    def __init__(self, count_readings: CountReadings) -> None:
        self._count = count_readings

    def check(self, seq: int, event: AnyEvent) -> Iterator[Fault]:
        """Give what is wrong with the evidence of this event."""
        if not isinstance(event, WeighingAccepted):
            return
        stored = self._count(event.evidence)
        if stored != event.evidence.readings:
            yield at_event(
                seq,
                f"Its weighing rests on {event.evidence.readings} readings of"
                f" {event.evidence.channel}, but {stored} are stored in that span.",
            )


class LotOrderAudit:
    """Sees that what was concluded about a lot comes after the lot began."""

    def __init__(self) -> None:
        self._opened_us: dict[str, int] = {}

    def check(self, seq: int, event: AnyEvent) -> Iterator[Fault]:
        """Give what is wrong with the place of this event in its lot's life."""
        if event.lot is None:
            return
        if isinstance(event, LotOpened):
            self._opened_us.setdefault(event.lot, event.at_us)
        elif isinstance(event, Derived):
            yield from self._check_derived(seq, event.lot, event.at_us)

    def _check_derived(self, seq: int, lot: str, at_us: int) -> Iterator[Fault]:
        opened_us = self._opened_us.get(lot)
        if opened_us is None:
            yield at_event(seq, f"It concludes something about lot {lot}, which was not open yet.")
        elif at_us < opened_us:
            early_s = (opened_us - at_us) / 1_000_000
            yield at_event(seq, f"Its time is {early_s:.6f} s before its lot {lot} was opened.")
