"""What the journal's events make of each alarm, and what is laid over them at each bench."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Self

import msgspec

from collector.alarm_events import (
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmReleased,
    AlarmRestored,
    AlarmSuppressed,
)
from collector.alarms import VIOLATED, Alarm, AlarmMove, AlarmState
from collector.answer_events import (
    AlarmAcknowledged,
    AlarmReset,
    AlarmShelved,
    AlarmUnshelved,
    RulePutBack,
    RuleTakenOut,
)
from collector.errors import NotFoundError
from collector.event_base import Event
from collector.lot_events import OutOfService
from collector.service_events import ClockStepped

AlarmChange = (
    AlarmCleared
    | AlarmFolded
    | AlarmRestored
    | AlarmAcknowledged
    | AlarmReset
    | AlarmSuppressed
    | AlarmReleased
)
"""What changes one alarm only."""

LEDGER_EVENTS: tuple[type[Event], ...] = (
    AlarmRaised,
    AlarmCleared,
    AlarmFolded,
    AlarmRestored,
    AlarmAcknowledged,
    AlarmReset,
    AlarmSuppressed,
    AlarmReleased,
    AlarmShelved,
    AlarmUnshelved,
    RuleTakenOut,
    RulePutBack,
    ClockStepped,
)
"""What a ledger has to be given, in order."""


class Matter(msgspec.Struct, frozen=True):
    """What an alarm is about. Shelving holds for the matter, not for one occurrence of it.

    `lot` is None unless the alarm is about a pitcher, which belongs to its lot: the pot that is
    too hot is the same in the next lot, the first pitcher is not.
    """

    bench: str | None
    lot: str | None
    rule: str
    pitcher: int | None
    vessel: int | None
    subject: str | None


def matter_of(raised: AlarmRaised) -> Matter:
    """Return what an alarm is about."""
    lot = raised.lot if raised.pitcher is not None else None
    return Matter(raised.bench, lot, raised.rule, raised.pitcher, raised.vessel, raised.subject)


class AlarmLedger:
    """Every alarm of some stretch of the journal, by id, and the rules out of service."""

    def __init__(self, events: Iterable[Event] = ()) -> None:
        self.alarms: dict[str, Alarm] = {}
        self.standing: dict[str, None] = {}  # in the order in which they were raised
        self.shelves: dict[Matter, AlarmShelved] = {}
        self.rules_out: dict[tuple[str | None, str, str | None], RuleTakenOut] = {}
        for event in events:
            self.apply(event)

    def copy(self) -> Self:
        """Return a ledger that goes its own way from here."""
        other = type(self)()
        other.alarms = dict(self.alarms)
        other.standing = dict(self.standing)
        other.shelves = dict(self.shelves)
        other.rules_out = dict(self.rules_out)
        return other

    def find(self, alarm: str) -> Alarm:
        """Return an alarm. Raises NotFoundError."""
        try:
            return self.alarms[alarm]
        except KeyError:
            raise NotFoundError(f"There is no alarm {alarm}.") from None

    def taken_out(self, bench: str) -> tuple[RuleTakenOut, ...]:
        """Return what is out of service at a bench, in the order in which it was taken out."""
        return tuple(event for event in self.rules_out.values() if event.bench == bench)

    def out_of_service(self, bench: str) -> tuple[OutOfService, ...]:
        """Return the same as a lot or a bench is given it."""
        taken_out = self.taken_out(bench)
        return tuple(OutOfService(e.rule, e.subject, e.reason) for e in taken_out)

    def apply(self, event: Event) -> tuple[Alarm, ...]:
        """Take one event; return the alarms it changed.

        Raises NotFoundError for an alarm never raised, ConflictError for a move that the table
        does not allow: a journal that this service wrote has neither.
        """
        if isinstance(event, RuleTakenOut | RulePutBack):
            changed = list(self._served(event))
        elif isinstance(event, AlarmRaised):
            changed = [self._raised(event)]
        elif isinstance(event, AlarmShelved | AlarmUnshelved):
            changed = list(self._put_aside(event))
        elif isinstance(event, ClockStepped):
            changed = list(self._stepped(event.by_us))
        elif isinstance(event, AlarmChange):
            changed = [_after(self.find(event.alarm), event)]
            if isinstance(event, AlarmRestored):
                changed = [self._covered(alarm, event.at_us) for alarm in changed]
        else:
            return ()
        for alarm in changed:
            self._keep(alarm)
        return tuple(changed)

    def concerned(self, event: Event) -> tuple[Alarm, ...]:
        """Return the alarms that an event is about, as they stand now."""
        if isinstance(event, RuleTakenOut | RulePutBack):
            return tuple(self._judged_by(event))
        alarm = self.alarms.get(getattr(event, "alarm", ""))
        if alarm is None:
            return ()
        if isinstance(event, AlarmShelved | AlarmUnshelved):
            return tuple(self._about(alarm))
        return (alarm,)

    def expired(self, at_us: int) -> tuple[Alarm, ...]:
        """Forget the shelves whose time is over; return what stands of what they held."""
        over = {matter for matter, shelf in self.shelves.items() if shelf.until_us <= at_us}
        if not over:
            return ()
        self.shelves = {m: shelf for m, shelf in self.shelves.items() if m not in over}
        return tuple(alarm for alarm in self._in_order() if matter_of(alarm.raised) in over)

    def standing_and(self, others: Iterable[str]) -> list[Alarm]:
        """Return the alarms that stand, and others by their ids, each once."""
        return [self.alarms[alarm] for alarm in dict.fromkeys([*others, *self.standing])]

    def _keep(self, alarm: Alarm) -> None:
        self.alarms[alarm.raised.alarm] = alarm
        if alarm.state is AlarmState.ENDED:
            self.standing.pop(alarm.raised.alarm, None)
        else:
            self.standing[alarm.raised.alarm] = None

    def _raised(self, event: AlarmRaised) -> Alarm:
        return self._covered(Alarm(raised=event), event.at_us)

    def _covered(self, alarm: Alarm, at_us: int) -> Alarm:
        """Return an alarm with what is laid over its kind: told late, that may be newer than it."""
        out = self._why_out(alarm.raised)
        return self._shelved(msgspec.structs.replace(alarm, out_of_service=out), at_us)

    def _shelved(self, alarm: Alarm, at_us: int) -> Alarm:
        shelf = self.shelves.get(matter_of(alarm.raised))
        if shelf is None or shelf.until_us <= at_us:
            return alarm
        return msgspec.structs.replace(
            alarm, shelved_until_us=shelf.until_us, shelved_why=shelf.reason
        )

    def _put_aside(self, event: AlarmShelved | AlarmUnshelved) -> Iterator[Alarm]:
        alarm = self.find(event.alarm)
        until_us: int | None = None
        why: str | None = None
        if isinstance(event, AlarmShelved):
            self.shelves[matter_of(alarm.raised)] = event
            until_us, why = event.until_us, event.reason
        else:
            self.shelves.pop(matter_of(alarm.raised), None)
        for about in self._about(alarm):
            yield msgspec.structs.replace(about, shelved_until_us=until_us, shelved_why=why)

    def _about(self, alarm: Alarm) -> Iterator[Alarm]:
        """Give an alarm and whatever else stands about the same matter."""
        matter = matter_of(alarm.raised)
        yield alarm
        for other in self._in_order():
            if other is not alarm and matter_of(other.raised) == matter:
                yield other

    def _stepped(self, by_us: int) -> Iterator[Alarm]:
        """Let what was put aside stay aside for as long as was said."""
        replace = msgspec.structs.replace
        for matter, shelf in self.shelves.items():
            self.shelves[matter] = replace(shelf, until_us=shelf.until_us + by_us)
        for alarm in self._in_order():
            if alarm.shelved_until_us is not None:
                yield replace(alarm, shelved_until_us=alarm.shelved_until_us + by_us)

    def _served(self, event: RuleTakenOut | RulePutBack) -> Iterator[Alarm]:
        key = (event.bench, event.rule, event.subject)
        if isinstance(event, RuleTakenOut):
            self.rules_out[key] = event
        else:
            self.rules_out.pop(key, None)
        for alarm in self._judged_by(event):
            yield msgspec.structs.replace(alarm, out_of_service=self._why_out(alarm.raised))

    def _judged_by(self, event: RuleTakenOut | RulePutBack) -> Iterator[Alarm]:
        for alarm in self._in_order():
            if alarm.state in VIOLATED and _concerns(event, alarm.raised):
                yield alarm

    def _why_out(self, raised: AlarmRaised) -> str | None:
        whys = (out.reason for out in self.rules_out.values() if _concerns(out, raised))
        return next(whys, None)

    def _in_order(self) -> list[Alarm]:
        return [self.alarms[alarm] for alarm in self.standing]


def _concerns(event: RuleTakenOut | RulePutBack, raised: AlarmRaised) -> bool:
    if (event.bench, event.rule) != (raised.bench, raised.rule):
        return False
    return event.subject is None or event.subject in {raised.subject, raised.phase}


_OF_ITS_END = ("cleared_us", "outcome", "folded_into", "reset_us", "suppressed_by")

_MOVE_OF: Mapping[type[Event], AlarmMove] = {
    AlarmCleared: AlarmMove.CLEAR,
    AlarmFolded: AlarmMove.FOLD,
    AlarmRestored: AlarmMove.RESTORE,
    AlarmAcknowledged: AlarmMove.ACKNOWLEDGE,
    AlarmReset: AlarmMove.RESET,
    AlarmSuppressed: AlarmMove.SUPPRESS,
    AlarmReleased: AlarmMove.RELEASE,
}


def _after(alarm: Alarm, event: AlarmChange) -> Alarm:
    """Return an alarm after an event of its own. Raises ConflictError."""
    move = _MOVE_OF[type(event)]
    if move is AlarmMove.CLEAR and alarm.raised.latched:
        move = AlarmMove.LATCH
    if move is AlarmMove.RESTORE and alarm.acknowledged_us is not None:
        move = AlarmMove.RESTORE_SEEN
    return msgspec.structs.replace(alarm, state=alarm.moved(move), **_noted(alarm, event))


def _noted(alarm: Alarm, event: AlarmChange) -> dict[str, object]:
    """Return what an event leaves on an alarm besides its state."""
    at_us = event.at_us
    noted: dict[str, object] = {}
    match event:
        case AlarmCleared():
            noted = {"cleared_us": at_us, "outcome": event.outcome, "suppressed_by": None}
        case AlarmFolded():
            noted = {"cleared_us": alarm.cleared_us or at_us, "folded_into": event.into}
        case AlarmRestored():
            noted = dict.fromkeys(_OF_ITS_END)
        case AlarmAcknowledged():
            noted = {"acknowledged_us": at_us, "note": event.note}
        case AlarmReset():
            noted = {"reset_us": at_us}
        case AlarmSuppressed():
            noted = {"suppressed_by": event.by}
        case AlarmReleased():
            noted = {"suppressed_by": None}
    return noted
