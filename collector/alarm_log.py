"""The log of alarms, and the figures that tell whether they are few enough to be answered.

The figures and their names are those of EEMUA 191 and ISA-18.2; each target tells its source.
They count what was announced: not an alarm that was shelved when it came, and not one that was
part of another from its first moment.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

import msgspec

from collector.alarm_events import AlarmRaised
from collector.alarm_ledger import AlarmLedger, Matter, matter_of
from collector.alarms import VIOLATED, Alarm
from collector.event_base import Event
from collector.priorities import Priority

MINUTE_US = 60_000_000
TEN_MINUTES_US = 10 * MINUTE_US
HOUR_US = 60 * MINUTE_US
DAY_US = 24 * HOUR_US

FLOOD_STARTS_ABOVE = 10
FLOOD_ENDS_BELOW = 5
"""Alarms in ten minutes. ISA-18.2, from memory; OPC 10000-9 sets no number."""

CHATTERS_AT = 3
"""Times in a minute that make one alarm a chattering one. ISA-18.2, second hand."""

STALE_US = DAY_US
"""An alarm that stands for longer is stale. ISA-18.2, from memory."""

MOST_FREQUENT = 10

EEMUA = "EEMUA 191 as quoted by HSE Chemicals Sheet 6"
FROM_MEMORY = "ISA-18.2, from memory"


class LogEntry(msgspec.Struct, frozen=True):
    """One event of the log, and the alarms it was about as they stood after it."""

    event: Event
    alarms: tuple[Alarm, ...]


class Crowd(msgspec.Struct, frozen=True):
    """The most alarms that fell into a window of some length; `from_us` is where it begins."""

    alarms: int
    from_us: int | None


class Flood(msgspec.Struct, frozen=True):
    """A time with more alarms than a person can answer; `to_us` is None where it goes on.

    `peak` is the most in ten minutes.
    """

    from_us: int
    to_us: int | None
    peak: int


class Recurrence(msgspec.Struct, frozen=True):
    """How often an alarm came: in the span, or, where it chatters, at most in a minute."""

    bench: str | None
    rule: str
    subject: str | None
    alarms: int


class Target(msgspec.Struct, frozen=True):
    """A published target beside what was found; both 0.001 alarms. `met` is at most the target."""

    what: str
    found_milli: int
    target_milli: int
    source: str

    @property
    def met(self) -> bool:
        """Whether what was found keeps to the target."""
        return self.found_milli <= self.target_milli


class AlarmFigures(msgspec.Struct, frozen=True, kw_only=True):
    """How many alarms there were in a span (start included, end not) and how they were answered.

    Times in microseconds; a time to acknowledgement is None where nothing was acknowledged.
    """

    from_us: int
    to_us: int
    alarms: int
    per_hour_milli: int
    worst_hour: Crowd
    worst_ten_minutes: Crowd
    floods: tuple[Flood, ...]
    chattering: tuple[Recurrence, ...]
    stale: tuple[str, ...]
    acknowledged: int
    never_acknowledged: int
    acknowledged_median_us: int | None
    acknowledged_p95_us: int | None
    by_priority: tuple[tuple[Priority, int], ...]
    most_frequent: tuple[Recurrence, ...]

    @property
    def targets(self) -> tuple[Target, ...]:
        """The published targets beside what was found.

        Nobody tells the service of an upset, so the worst ten minutes stand for the first ten
        after one.
        """
        long_run = self.alarms * 1000 * TEN_MINUTES_US // max(1, self.to_us - self.from_us)
        worst = self.worst_ten_minutes.alarms * 1000
        return (
            Target("alarms per 10 minutes in the long run", long_run, 1000, EEMUA),
            Target("alarms in the 10 minutes after an upset", worst, 10_000, EEMUA),
            Target("alarms that stand for over 24 h", len(self.stale) * 1000, 4000, FROM_MEMORY),
        )


def log_of(events: Iterable[Event], from_us: int, to_us: int) -> list[LogEntry]:
    """Return the events of a span in order, out of all of a journal's `LEDGER_EVENTS`."""
    ledger, entries = AlarmLedger(), []
    for event in events:
        alarms = ledger.apply(event)
        if from_us <= event.at_us < to_us:
            entries.append(LogEntry(event, alarms))
    return entries


def figures_of(events: Iterable[Event], from_us: int, to_us: int) -> AlarmFigures:
    """Return the figures of a span, out of all of a journal's `LEDGER_EVENTS` in order."""
    ledger = AlarmLedger()
    unheard: set[str] = set()
    later: set[str] = set()  # a clock that was set back must not make half a life of an alarm
    for event in events:
        alarm_id = getattr(event, "alarm", "")
        if event.at_us >= to_us or alarm_id in later:
            later |= {alarm_id} if alarm_id else set()
            continue
        ledger.apply(event)
        if isinstance(event, AlarmRaised) and ledger.find(event.alarm).shelved(event.at_us):
            unheard.add(event.alarm)
    announced = [
        alarm
        for alarm in ledger.alarms.values()
        if alarm.raised.at_us >= from_us
        and alarm.raised.alarm not in unheard
        and not _part_of_another(alarm)
    ]
    return _figures(sorted(announced, key=lambda a: a.raised.at_us), ledger, from_us, to_us)


def _figures(
    announced: Sequence[Alarm], ledger: AlarmLedger, from_us: int, to_us: int
) -> AlarmFigures:
    times = [alarm.raised.at_us for alarm in announced]
    answers = sorted(
        alarm.acknowledged_us - alarm.raised.at_us
        for alarm in announced
        if alarm.acknowledged_us is not None
    )
    unanswered = [a for a in announced if a.acknowledged_us is None and a.folded_into is None]
    priorities = Counter(alarm.raised.priority for alarm in announced)
    return AlarmFigures(
        from_us=from_us,
        to_us=to_us,
        alarms=len(announced),
        per_hour_milli=len(announced) * 1000 * HOUR_US // max(1, to_us - from_us),
        worst_hour=crowd(times, HOUR_US),
        worst_ten_minutes=crowd(times, TEN_MINUTES_US),
        floods=floods(times),
        chattering=_chattering(announced),
        stale=_stale(ledger, from_us, to_us),
        acknowledged=len(answers),
        never_acknowledged=len(unanswered),
        acknowledged_median_us=_median(answers),
        acknowledged_p95_us=_nearest_rank(answers, 95),
        by_priority=tuple((priority, priorities[priority]) for priority in Priority),
        most_frequent=_most_frequent(announced),
    )


def crowd(times: Sequence[int], window_us: int) -> Crowd:
    """Return the most of some sorted times that fall into a window; its end does not count."""
    best, first = Crowd(0, None), 0
    for last, at_us in enumerate(times):
        while times[first] <= at_us - window_us:
            first += 1
        if last - first + 1 > best.alarms:
            best = Crowd(last - first + 1, times[first])
    return best


def floods(times: Sequence[int]) -> tuple[Flood, ...]:
    """Return the floods in some sorted times: each counts for the ten minutes after it."""
    changes = Counter(times)  # one that falls out as another comes changes nothing
    changes.subtract(at_us + TEN_MINUTES_US for at_us in times)
    found: list[Flood] = []
    count, open_ = 0, False
    for at_us, change in sorted(changes.items()):
        count += change
        if not open_ and count > FLOOD_STARTS_ABOVE:
            open_ = True
            found.append(Flood(at_us, None, count))
        elif open_:
            flood = found[-1]
            open_ = count >= FLOOD_ENDS_BELOW
            peak = max(flood.peak, count)
            found[-1] = Flood(flood.from_us, None if open_ else at_us, peak)
    return tuple(found)


def _part_of_another(alarm: Alarm) -> bool:
    return alarm.folded_into is not None and alarm.cleared_us == alarm.raised.at_us


def _chattering(announced: Sequence[Alarm]) -> tuple[Recurrence, ...]:
    times: defaultdict[Matter, list[int]] = defaultdict(list)
    for alarm in announced:
        times[matter_of(alarm.raised)].append(alarm.raised.at_us)
    crowds = ((matter, crowd(at, MINUTE_US).alarms) for matter, at in times.items())
    return tuple(
        Recurrence(matter.bench, matter.rule, matter.subject, most)
        for matter, most in crowds
        if most >= CHATTERS_AT
    )


def _stale(ledger: AlarmLedger, from_us: int, to_us: int) -> tuple[str, ...]:
    """Return the alarms that stood, within the span, for longer than is sensible."""
    stale = []
    for alarm in ledger.alarms.values():
        until_us = to_us if alarm.state in VIOLATED else alarm.cleared_us or alarm.raised.at_us
        if until_us >= from_us and until_us - alarm.raised.at_us > STALE_US:
            stale.append(alarm.raised.alarm)
    return tuple(stale)


def _median(values: Sequence[int]) -> int | None:
    if not values:
        return None
    middle = len(values) // 2
    if len(values) % 2:
        return values[middle]
    return (values[middle - 1] + values[middle]) // 2


def _nearest_rank(values: Sequence[int], percent: int) -> int | None:
    """Return the least value that so many percent of the sorted values do not exceed."""
    if not values:
        return None
    return values[-(-percent * len(values) // 100) - 1]


def _most_frequent(announced: Sequence[Alarm]) -> tuple[Recurrence, ...]:
    counts = Counter((a.raised.bench, a.raised.rule, a.raised.subject) for a in announced)
    return tuple(
        Recurrence(bench, rule, subject, alarms)
        for (bench, rule, subject), alarms in counts.most_common(MOST_FREQUENT)
    )
