"""The rows that the formats share, and what their columns mean. Pure.

Every row is of one `kind`. What a row has nothing to say about stays empty.

| column | holds |
|---|---|
| `lot` | the lot's id, so that the files of several lots can be put together |
| `time` | when it was or began: RFC 3339, UTC, microseconds |
| `seconds` | the same since the lot was opened: a spreadsheet draws by it at once |
| `kind` | see below |
| `channel`, `role` | the instrument's channel, and what it is used for: scale, pitcher, pot, room |
| `value`, `unit` | a number; `degC`, `g`, `%RH`, `Pa`, `s`, `degC/min` or `count` |
| `quality` | of a reading: good, in motion, suspect; bad, then without a value |
| `late` | of a reading: whether it came too late to be judged |
| `name` | of what: the phase, what was weighed, the rule, the verdict, the recipe |
| `pitcher`, `vessel` | counted from 1 |
| `target`, `low`, `high` | what was wanted, and between which values it was in order |
| `ended` | when it was over, as `time` |
| `text` | words: a message, a note |

| kind | a row says |
|---|---|
| `lot` | opened and closed; `value` vessels were planned |
| `removed` | readings of this lot were removed from the store: those that follow are the rest |
| `phase` | a phase of a pitcher; `value` is how long it lasted, `text` how it is known |
| `weighing` | a settled mass that was accepted |
| `mark` | a person's mark; `text` is begin or end, and what the scale showed against it |
| `mark taken back` | a mark made by mistake; `ended` is when it was taken back |
| `note`, `photograph` | what a person wrote or kept; `text` is the note or the caption |
| `note taken back`, `photograph taken back` | the same, no longer standing since `ended` |
| `deviation` | what was off: measured, allowed, message, advice, outcome, note |
| `gap` | nothing was collected |
| `late` | `value` readings came too late to be judged |
| `clock` | the lot's times are off by `value` seconds, unknown where it is empty |
| `verdict` | how the lot came out, as the maker says |
| `reading` | one sample of one channel |
"""

from collections.abc import Iterator
from operator import attrgetter

import msgspec

from api.export.lot_export import LotExport
from api.presenting import plain, thousandths
from collector.alarms import Alarm
from collector.conclusions import WeighingAccepted
from collector.lot_events import PhaseMarked
from collector.lot_notes import Note, Photograph
from collector.lot_record import LotRecord, PhaseRun
from collector.readings import Role

US_PER_S = 1_000_000


class Fact(msgspec.Struct, frozen=True, kw_only=True):
    """A row that is no reading; the fields are the columns, times UTC microseconds."""

    time_us: int
    kind: str
    channel: str | None = None
    role: str | None = None
    value: float | None = None
    unit: str | None = None
    name: str | None = None
    pitcher: int | None = None
    vessel: int | None = None
    target: float | None = None
    low: float | None = None
    high: float | None = None
    ended_us: int | None = None
    text: str | None = None


COLUMNS = (
    *("lot", "time", "seconds", "kind", "channel", "role", "value", "unit", "quality", "late"),
    *("name", "pitcher", "vessel", "target", "low", "high", "ended", "text"),
)


def facts(export: LotExport) -> list[Fact]:
    """Return the rows that are no readings: first those about the whole lot, then by time."""
    record = export.record
    told = [
        *(_phase(run) for run in record.phases),
        *(_weighing(event) for event in record.weighings),
        *(_mark(record, mark) for mark in record.marks),
        *(_deviation(record, alarm) for alarm in record.deviations),
        *(_note(note) for note in record.notes.notes.values()),
        *(_photograph(photograph) for photograph in record.notes.photographs.values()),
        *_service(record),
    ]
    return [*_whole(export), *sorted(told, key=attrgetter("time_us"))]


def _whole(export: LotExport) -> Iterator[Fact]:
    opened = export.record.opened
    yield Fact(
        time_us=opened.at_us,
        kind="lot",
        name=opened.recipe.name,
        value=opened.vessels,
        unit="count",
        ended_us=export.record.closed_us,
    )
    if export.removed:
        text = "Readings of this lot were removed from the store. Those that follow are the rest."
        yield Fact(time_us=opened.at_us, kind="removed", text=text)


def _phase(run: PhaseRun) -> Fact:
    lasted_us = run.duration_us
    return Fact(
        time_us=run.began_us,
        kind="phase",
        name=run.phase,
        pitcher=run.pitcher,
        value=None if lasted_us is None else lasted_us / US_PER_S,
        unit="s",
        ended_us=run.ended_us,
        text=run.source,
    )


def _weighing(event: WeighingAccepted) -> Fact:
    return Fact(
        time_us=event.evidence.to_us,
        kind="weighing",
        channel=event.evidence.channel,
        role=Role.SCALE,
        value=thousandths(event.mass_mg),
        unit="g",
        name=event.kind,
        pitcher=event.pitcher,
        vessel=event.vessel,
        target=thousandths(event.target_mg),
        low=thousandths(event.target_mg - event.tolerance_mg),
        high=thousandths(event.target_mg + event.tolerance_mg),
    )


def _mark(record: LotRecord, mark: PhaseMarked) -> Fact:
    against, back_us = record.contradiction_of(mark), record.withdrawn_us(mark)
    text = str(mark.edge) if against is None else f"{mark.edge}; against it: {against}"
    kind = "mark" if back_us is None else "mark taken back"  # whoever counts marks counts true ones
    return Fact(time_us=mark.at_us, kind=kind, name=mark.phase, ended_us=back_us, text=text)


def _note(note: Note) -> Fact:
    written, back = note.written, note.taken_back
    return Fact(
        time_us=written.at_us,
        kind="note" if back is None else "note taken back",
        name=written.note,
        ended_us=None if back is None else back.at_us,
        text=written.text,
    )


def _photograph(photograph: Photograph) -> Fact:
    kept, back = photograph.kept, photograph.taken_back
    return Fact(
        time_us=kept.at_us,
        kind="photograph" if back is None else "photograph taken back",
        name=kept.photograph,
        ended_us=None if back is None else back.at_us,
        text=kept.caption,
    )


def _deviation(record: LotRecord, alarm: Alarm) -> Fact:
    raised = alarm.raised
    roles = {channel.name: channel.role for channel in record.opened.channels}
    low, high = (
        None if bound is None else plain(raised.unit, bound)
        for bound in (raised.limit.low, raised.limit.high)
    )
    words = (raised.message, raised.advice, alarm.outcome, alarm.note)
    return Fact(
        time_us=raised.at_us,
        kind="deviation",
        channel=raised.subject,
        role=roles.get(raised.subject or ""),
        value=None if raised.measured is None else plain(raised.unit, raised.measured),
        unit=raised.unit,
        name=raised.rule,
        pitcher=raised.pitcher,
        vessel=raised.vessel,
        low=low,
        high=high,
        ended_us=alarm.cleared_us,
        text=" ".join(word for word in words if word),
    )


def _service(record: LotRecord) -> Iterator[Fact]:
    for from_us, to_us in record.gaps_us:
        yield Fact(time_us=from_us, kind="gap", ended_us=to_us)
    for late in record.late:
        yield Fact(
            time_us=late.from_us, kind="late", value=late.count, unit="count", ended_us=late.to_us
        )
    for found in record.clock:
        off_s = None if found.by_us is None else found.by_us / US_PER_S
        yield Fact(time_us=found.at_us, kind="clock", value=off_s, unit="s")
    if record.verdict is not None:
        name = "good" if record.verdict.good else "not good"
        yield Fact(
            time_us=record.verdict.at_us, kind="verdict", name=name, text=record.verdict.note
        )
