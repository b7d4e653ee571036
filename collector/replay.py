"""A stored lot fed to the bench again: to go on after a stop, and to judge it afresh."""

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest

import msgspec

from collector.answer_events import AlarmAcknowledged, AlarmReset, AlarmShelved, AlarmUnshelved
from collector.bench import Bench, Input, Tick
from collector.event_base import Derived, Event, Given
from collector.events import AnyDerived, encode
from collector.lot_events import LotClosed, LotOpened, MarkWithdrawn, PhaseMarked
from collector.readings import Reading
from collector.recipes import Recipe

_ABOUT_AN_ALARM = (AlarmAcknowledged, AlarmShelved, AlarmUnshelved, AlarmReset)


class Difference(msgspec.Struct, frozen=True):
    """The first derived event (number `place` of them, from 1) that a replay gives otherwise."""

    place: int
    kept: Event | None
    now: Event | None


def replay(events: Iterable[Event], readings: Iterable[Reading]) -> tuple[Bench, list[AnyDerived]]:
    """Feed a lot's given events and its bench's readings, in order of time.

    Returns the bench as it stands after the last of them, and all that it derived. `events` are
    the whole journal of the lot, its opening first; raises ValueError where that is missing.
    """
    journal = list(events)
    opened = _opening(journal)
    bench = Bench(
        opened.bench or "", opened.channels, opened.display, opened.at_us, opened.unattended
    )
    derived: list[AnyDerived] = []
    for item in _merged(journal, readings):
        derived += bench.feed(item)
        if isinstance(item, LotClosed):
            return bench, derived
    derived += bench.feed(Tick(max(event.at_us for event in journal)))
    return bench, derived


def derived_of(events: Iterable[Event]) -> list[Event]:
    """Return the events that a replay must give again."""
    return [event for event in events if isinstance(event, Derived)]


def under(events: Iterable[Event], recipe: Recipe) -> list[Event]:
    """Return a lot's given events as they would have been under another recipe.

    Left out is what would have had another meaning: marks of phases that the other recipe has
    not, which the service refuses, and what was done about alarms, whose numbers are others.
    Raises ValueError where the opening is missing.
    """
    journal = list(events)
    opened = msgspec.structs.replace(_opening(journal), recipe=recipe)
    return [opened, *(event for event in journal[1:] if _holds_under(event, recipe))]


def first_difference(kept: Sequence[Event], now: Sequence[Event]) -> Difference | None:
    """Return where two rows of events part, None where they are the same byte for byte."""
    for place, (old, new) in enumerate(zip_longest(kept, now), 1):
        if old is None or new is None or encode(old) != encode(new):
            return Difference(place, old, new)
    return None


def _opening(journal: Sequence[Event]) -> LotOpened:
    if not journal or not isinstance(journal[0], LotOpened):
        raise ValueError("a lot's journal begins with its opening")
    return journal[0]


def _holds_under(event: Event, recipe: Recipe) -> bool:
    if isinstance(event, PhaseMarked | MarkWithdrawn):
        return event.phase in recipe.phases
    return isinstance(event, Given) and not isinstance(event, _ABOUT_AN_ALARM)


def _merged(journal: Iterable[Event], readings: Iterable[Reading]) -> Iterator[Input]:
    given = deque(event for event in journal if isinstance(event, Given))
    for reading in readings:
        while given and given[0].at_us <= reading.taken_us:
            yield given.popleft()  # type: ignore[misc]  # every Given in a journal is an AnyGiven
        yield reading
    yield from given  # type: ignore[misc]  # as above
