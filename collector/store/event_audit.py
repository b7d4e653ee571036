"""Does each event stand on something? Its lot was open, its readings are there."""

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

from collector.conclusions import Evidence, WeighingAccepted
from collector.event_base import Derived, Event
from collector.events import AnyEvent
from collector.lot_events import LotClosed, LotKept, LotOpened, LotReleased
from collector.service_events import ReadingsExpired, ReadingsLost
from collector.store.faults import Fault, at_event

CountReadings = Callable[[Evidence], int]
"""How many readings that a bench was fed are stored in an evidence's span, ends included."""

EXPIRY_EVENTS: tuple[type[Event], ...] = (LotClosed, LotKept, LotReleased, ReadingsExpired)
"""What `Expiries` has to be given, in order."""


class Expiries:
    """Which evidence may be gone: what was removed, and which lots were spared each time."""

    def __init__(self, events: Iterable[AnyEvent]) -> None:
        self._before_us: list[int] = []  # up to when each removal went
        self._changes: dict[str | None, list[tuple[int, bool]]] = {}  # removal from which, spared?
        kept: set[str | None] = set()
        closed: set[str | None] = set()
        for event in events:
            if isinstance(event, ReadingsExpired):
                self._before_us.append(event.before_us)
                continue
            if isinstance(event, LotClosed):
                closed.add(event.lot)
            elif isinstance(event, LotKept):
                kept.add(event.lot)
            else:
                kept.discard(event.lot)
            spared = event.lot in kept or event.lot not in closed
            change = (len(self._before_us), spared)
            self._changes.setdefault(event.lot, []).append(change)

    def cover(self, lot: str | None, evidence: Evidence) -> bool:
        """Return whether some of a lot's evidence was removed with good reason."""
        return self.reach(lot, evidence.from_us)

    def reach(self, lot: str | None, from_us: int) -> bool:
        """Return whether some of a lot's readings from a time on may have been removed."""
        end = (len(self._before_us), True)
        spells = pairwise([(0, True), *self._changes.get(lot, ()), end])
        return any(
            before_us > from_us
            for (first, spared), (following, _) in spells
            if not spared
            for before_us in self._before_us[first:following]
        )


def lost_within(evidence: Evidence, losses: Iterable[ReadingsLost]) -> int:
    """Return how many of an evidence's readings memory could not hold, at most."""
    return sum(
        loss.count
        for loss in losses
        if loss.from_us <= evidence.to_us and loss.to_us >= evidence.from_us
    )


class EvidenceAudit:
    """Compares each weighing's evidence with the stored readings.

    What was removed is not missed, nor what never came to the disk because memory was full.
    """

    def __init__(
        self,
        count_readings: CountReadings,
        expiries: Expiries,
        losses: Iterable[ReadingsLost] = (),
    ) -> None:
        self._count = count_readings
        self._expiries = expiries
        self._losses = tuple(losses)

    def check(self, seq: int, event: AnyEvent) -> Iterator[Fault]:
        """Give what is wrong with the evidence of this event."""
        if not isinstance(event, WeighingAccepted):
            return
        stored = self._count(event.evidence)
        missing = event.evidence.readings - stored
        if missing == 0 or 0 < missing <= lost_within(event.evidence, self._losses):
            return
        if not self._expiries.cover(event.lot, event.evidence):
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
