"""The alarm's life as a table, and what the journal's events make of each alarm.

States and moves as ISA-18.2 and IEC 62682 describe them, as far as they are built: raised,
acknowledged, cleared, shelved for a time.
"""

from collections.abc import Iterable
from enum import StrEnum

import msgspec

from collector.errors import ConflictError, NotFoundError
from collector.events import (
    AlarmAcknowledged,
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmShelved,
    Event,
)


class AlarmState(StrEnum):
    """Where an alarm is in its life. Shelving is laid over these, with a time."""

    ACTIVE = "active"  # violated, nobody has seen it
    ACKNOWLEDGED = "acknowledged"  # violated, seen
    CLEARED = "cleared"  # kept again, nobody has seen it
    ENDED = "ended"  # kept again and seen


class AlarmMove(StrEnum):
    """What can happen to an alarm."""

    ACKNOWLEDGE = "acknowledge"
    CLEAR = "clear"


MOVES = {
    (AlarmState.ACTIVE, AlarmMove.ACKNOWLEDGE): AlarmState.ACKNOWLEDGED,
    (AlarmState.ACTIVE, AlarmMove.CLEAR): AlarmState.CLEARED,
    (AlarmState.ACKNOWLEDGED, AlarmMove.CLEAR): AlarmState.ENDED,
    (AlarmState.CLEARED, AlarmMove.ACKNOWLEDGE): AlarmState.ENDED,
}
"""Every move that is allowed; what is not here is refused."""

VIOLATED = (AlarmState.ACTIVE, AlarmState.ACKNOWLEDGED)
"""States in which the limit is still violated."""


class Alarm(msgspec.Struct, frozen=True, kw_only=True):
    """One alarm as it stands: how it was raised, and what became of it."""

    raised: AlarmRaised
    state: AlarmState = AlarmState.ACTIVE
    cleared_us: int | None = None
    outcome: str | None = None
    acknowledged_us: int | None = None
    note: str | None = None
    shelved_until_us: int | None = None
    folded_into: str | None = None

    def shelved(self, at_us: int) -> bool:
        """Tell whether it is put aside at a time."""
        return self.shelved_until_us is not None and at_us < self.shelved_until_us

    def moved(self, move: AlarmMove) -> AlarmState:
        """Return the state after a move. Raises ConflictError where the move is not allowed."""
        try:
            return MOVES[self.state, move]
        except KeyError:
            raise ConflictError(
                f"Alarm {self.raised.alarm} is {self.state.value}: it cannot be "
                f"{'acknowledged' if move is AlarmMove.ACKNOWLEDGE else 'cleared'} again."
            ) from None


AlarmChange = AlarmRaised | AlarmCleared | AlarmFolded | AlarmAcknowledged | AlarmShelved
ALARM_CHANGES = (AlarmRaised, AlarmCleared, AlarmFolded, AlarmAcknowledged, AlarmShelved)


class AlarmLedger:
    """Every alarm of some stretch of the journal, by id."""

    def __init__(self, events: Iterable[Event] = ()) -> None:
        self.alarms: dict[str, Alarm] = {}
        for event in events:
            self.apply(event)

    def find(self, alarm: str) -> Alarm:
        """Return an alarm. Raises NotFoundError."""
        try:
            return self.alarms[alarm]
        except KeyError:
            raise NotFoundError(f"There is no alarm {alarm}.") from None

    def apply(self, event: Event) -> Alarm | None:
        """Take one event; return the alarm it changed, None for other events."""
        if isinstance(event, AlarmRaised):
            changed = Alarm(raised=event)
        elif isinstance(event, ALARM_CHANGES):
            changed = self._changed(self.find(event.alarm), event)
        else:
            return None
        self.alarms[changed.raised.alarm] = changed
        return changed

    def _changed(self, alarm: Alarm, event: AlarmChange) -> Alarm:
        replace = msgspec.structs.replace
        if isinstance(event, AlarmCleared):
            state = alarm.moved(AlarmMove.CLEAR)
            return replace(alarm, state=state, cleared_us=event.at_us, outcome=event.outcome)
        if isinstance(event, AlarmFolded):
            state = AlarmState.ENDED
            return replace(alarm, state=state, cleared_us=event.at_us, folded_into=event.into)
        if isinstance(event, AlarmAcknowledged):
            state = alarm.moved(AlarmMove.ACKNOWLEDGE)
            return replace(alarm, state=state, acknowledged_us=event.at_us, note=event.note)
        if isinstance(event, AlarmShelved):
            return replace(alarm, shelved_until_us=event.until_us)
        return alarm
