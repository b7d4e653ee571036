"""Two benches beside each other: at one a mark is made by mistake and taken back, never at the
other.

Everything else happens at both. An alarm is known by what it says, since its number counts also
what was told only at the first.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import msgspec
from feed_script import NOON_US, Script

from collector.alarm_events import AlarmCleared, AlarmFolded, AlarmRaised
from collector.alarms import VIOLATED, Alarm
from collector.amends import TAKEN_BACK, WITHDRAWN
from collector.answer_events import AlarmAcknowledged, AlarmReset
from collector.bench import Bench
from collector.display import Display
from collector.event_base import Event
from collector.events import AnyDerived, AnyGiven
from collector.guidance import BenchStatus, status_of
from collector.lot_events import LotKept, MarkWithdrawn, PhaseMarked
from collector.lot_record import LotRecord, record_of
from collector.phases import Edge, PhaseName
from collector.readings import Reading

Fold = tuple[LotRecord, dict[str, Alarm]]


@dataclass
class TwoBenches(Script):
    """A script that feeds a second bench as well, to which no mistake happens."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self.spared = Bench("creek", self.channels, Display(), NOON_US)
        self.spared_journal: list[Event] = []
        self.full_journal: list[Event] = []
        self.after: tuple[int, int] = (0, 0)

    # ------------------------------------------------------------ what happens

    def mistake(self, phase: PhaseName, edge: Edge) -> None:
        """Mark at the first bench only."""
        self._first(PhaseMarked(at_us=self.now_us, bench="creek", lot="1", phase=phase, edge=edge))

    def take_back(self) -> list[AnyDerived]:
        """Take the latest mark back; at the other bench a person does something of no account."""
        kept = self.bench.undoable
        assert kept is not None
        mark, at_us = kept.mark, self.now_us
        said = self._first(
            MarkWithdrawn(
                at_us=at_us,
                bench="creek",
                lot="1",
                phase=mark.phase,
                edge=mark.edge,
                marked_us=mark.at_us,
            )
        )
        self._second(LotKept(at_us=at_us, bench="creek", lot="1"))
        self.after = (len(self.full_journal), len(self.spared_journal))
        return said

    def answer(self) -> None:
        """Acknowledge, and let go of, what can be; at each bench under its own number."""
        for kind in (AlarmAcknowledged, AlarmReset):
            for alarm in list(self.alarms().values()):
                self._answer(kind, alarm)

    def _answer(self, kind: type[AlarmAcknowledged | AlarmReset], alarm: Alarm) -> None:
        number = alarm.raised.alarm
        latched = self.bench.book.latched
        if kind is AlarmAcknowledged and (alarm.acknowledged_us or alarm.state not in VIOLATED):
            return
        if kind is AlarmReset and (alarm.acknowledged_us is None or number not in latched):
            return
        given = kind(at_us=self.now_us, bench="creek", lot="1", alarm=number)
        self._first(given)
        for other in self.spared_alarms().values():
            if nameless(other.raised) == nameless(alarm.raised) and other.state in VIOLATED:
                self._second(msgspec.structs.replace(given, alarm=other.raised.alarm))

    def _give(self, given: AnyGiven) -> None:
        self._first(given)
        self._second(given)

    def _feed(self, reading: Reading) -> None:
        self.inputs.append(reading)
        self.full_journal += self.bench.feed(reading)
        self.spared_journal += self.spared.feed(reading)

    def _first(self, given: AnyGiven) -> list[AnyDerived]:
        self._readings += 1  # so that no two inputs share a time
        self.inputs.append(given)
        derived = self.bench.feed(given)
        self.full_journal += [given, *derived]
        return derived

    def _second(self, given: AnyGiven) -> None:
        self.spared_journal += [given, *self.spared.feed(given)]

    # ------------------------------------------------------------ what came of it

    def statuses(self) -> tuple[BenchStatus, BenchStatus]:
        return status_of(self.bench), status_of(self.spared)

    def records(self) -> tuple[LotRecord, LotRecord]:
        return record_of(self.full_journal), record_of(self.spared_journal)

    def alarms(self) -> dict[str, Alarm]:
        return by_number(record_of(self.full_journal))

    def spared_alarms(self) -> dict[str, Alarm]:
        return by_number(record_of(self.spared_journal))

    def said_since(self) -> tuple[list[Event], list[Event]]:
        """Return what each bench said since the mark was taken back."""
        first, second = self.after
        return (
            list(anonymous(self.full_journal, first)),
            list(anonymous(self.spared_journal, second)),
        )


def by_number(record: LotRecord) -> dict[str, Alarm]:
    return {alarm.raised.alarm: alarm for alarm in record.alarms}


def nameless(raised: AlarmRaised) -> AlarmRaised:
    return msgspec.structs.replace(raised, at_us=0, alarm="")


def anonymous(journal: list[Event], since: int) -> Iterator[Event]:
    """Give the derived events since a place, each alarm by what it says.

    A latched alarm of the mistake waits for its reset like any other, and may become part of one
    that says the same: that is left out.
    """
    says = {e.alarm: f"{nameless(e)}" for e in journal if isinstance(e, AlarmRaised)}
    mistaken = {e.alarm for e in journal if isinstance(e, AlarmCleared) and e.outcome == TAKEN_BACK}
    for event in journal[since:]:
        if isinstance(event, AlarmFolded) and event.alarm in mistaken:
            continue
        if isinstance(event, AnyDerived):
            named = ((name, getattr(event, name, "")) for name in ("alarm", "into", "by"))
            changes = {name: says[alarm] for name, alarm in named if alarm in says}
            yield msgspec.structs.replace(event, **changes)


def outcomes(alarms: Sequence[Alarm], of: Callable[[Alarm], bool]) -> Counter[tuple[object, ...]]:
    """Count alarms of a kind by what they say and what became of them, whenever that was."""
    says = {alarm.raised.alarm: nameless(alarm.raised) for alarm in alarms}
    return Counter(
        (
            *(says[alarm.raised.alarm], is_over(alarm), alarm.outcome),
            says.get(alarm.folded_into or ""),
            says.get(alarm.suppressed_by or ""),
        )
        for alarm in alarms
        if of(alarm)
    )


def is_over(alarm: Alarm) -> bool:
    """Tell whether nothing of an alarm stands any more."""
    return alarm.state not in VIOLATED


def stands(alarm: Alarm) -> bool:
    """Tell the opposite."""
    return not is_over(alarm)


def is_telling(alarm: Alarm) -> bool:
    """Tell whether an alarm stands for itself, and was not withdrawn."""
    withdrawn = alarm.outcome is not None and alarm.outcome.startswith(WITHDRAWN)
    return alarm.folded_into is None and not withdrawn
