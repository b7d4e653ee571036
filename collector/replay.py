"""A stored lot fed to the bench again: to go on after a stop, and to judge it afresh."""

import heapq
from collections.abc import Iterable, Iterator

from collector.bench import Bench, Input, Tick
from collector.events import AnyDerived, Derived, Event, Given, LotClosed, LotOpened
from collector.readings import Reading


def replay(events: Iterable[Event], readings: Iterable[Reading]) -> tuple[Bench, list[AnyDerived]]:
    """Feed a lot's given events and its bench's readings, in order of time.

    Returns the bench as it stands after the last of them, and all that it derived. `events` are
    the whole journal of the lot, its opening first; raises ValueError where that is missing.
    """
    journal = list(events)
    if not journal or not isinstance(journal[0], LotOpened):
        raise ValueError("a lot's journal begins with its opening")
    opened = journal[0]
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


def _merged(journal: Iterable[Event], readings: Iterable[Reading]) -> Iterator[Input]:
    given = ((event.at_us, 0, event) for event in journal if isinstance(event, Given))
    taken = ((reading.taken_us, 1, reading) for reading in readings)
    for _at_us, _rank, item in heapq.merge(given, taken, key=lambda entry: entry[:2]):
        yield item  # type: ignore[misc]  # every Given in a journal is an AnyGiven
