"""`pourkeep lots` and `pourkeep lot`: what a data folder holds."""

import argparse
import json
from datetime import datetime
from pathlib import Path

from api import lot_shapes, presenting
from api.lot_reading import entries, read_document, read_record
from collector.errors import NotFoundError
from collector.lot_record import LotRecord
from collector.store.history import History


def run_list(arguments: argparse.Namespace) -> int:
    """List the lots, the newest first."""
    found = entries(History(arguments.data))
    if arguments.json:
        print(json.dumps([entry.model_dump(by_alias=True) for entry in found], indent=2))
        return 0
    for entry in found:
        print(entry_line(entry))
    if not found:
        print(f"{arguments.data}: no lots yet")
    return 0


def run_show(arguments: argparse.Namespace) -> int:
    """Show one lot's record."""
    shown = show(arguments.data, arguments.id)
    if arguments.json:
        print(json.dumps(shown.model_dump(by_alias=True), indent=2))
        return 0
    print("\n".join(lot_lines(shown)))
    return 0


def show(data: Path, lot: str) -> lot_shapes.LotShown:
    """Return a lot's record. Raises NotFoundError."""
    history = History(data)
    record = _record(history, data, lot)
    document = read_document(history, record.opened.recipe)
    return presenting.lot(record, document, None, record.closed_us or record.opened.at_us)


def _record(history: History, data: Path, lot: str) -> LotRecord:
    try:
        return read_record(history, lot)
    except NotFoundError:  # whose sentence speaks of HTTP too
        raise NotFoundError(
            f"There is no lot {lot!r}. pourkeep lots --data {data} lists them."
        ) from None


def entry_line(entry: lot_shapes.LotEntry) -> str:
    """Write a lot in a line."""
    deviations = f"{entry.deviations} deviation{'' if entry.deviations == 1 else 's'}"
    fills = f"{entry.fills} of {entry.vessels} vessels"
    return f"{entry.id:14} {entry.state:6} {fills:18} {deviations:14} {entry.recipe}"


def lot_lines(lot: lot_shapes.LotShown) -> list[str]:
    """Write a lot's record in lines."""
    lines = [
        f"Lot {lot.id}: {lot.recipe.name}, {lot.vessels} vessels, {lot.state}",
        f"  opened {_plain(lot.opened_at)}, closed {_plain(lot.closed_at)} (all times are UTC)",
        "Phases",
    ]
    for phase in lot.phases:
        seconds = "going on" if phase.seconds is None else f"{phase.seconds:.0f} s"
        lines.append(
            f"  {phase.phase:14} {_plain(phase.began)}  {seconds:>9}  from {phase.evidence}"
        )
    lines.append("Weighings")
    for weighing in lot.weighings:
        what = weighing.kind if weighing.vessel is None else f"vessel {weighing.vessel}"
        lines.append(f"  {what:14} {weighing.grams:8.1f} g of {weighing.target:8.1f} g")
    lines.append("Deviations" if lot.deviations else "No deviations")
    for deviation in lot.deviations:
        lines.append(f"  {deviation.rule}: {deviation.message} {deviation.advice}")
        if deviation.outcome:
            lines.append(f"    {deviation.outcome}")
    lines += [
        f"Nothing was collected from {_plain(gap.from_)} to {_plain(gap.to)}" for gap in lot.gaps
    ]
    lines += [_clock_line(found) for found in lot.clock_off]
    lines += [
        f"Too late to be judged: {run.readings} readings from {_plain(run.from_)} to"
        f" {_plain(run.to)}"
        for run in lot.late
    ]
    return lines + _note_lines(lot)


def _note_lines(lot: lot_shapes.LotShown) -> list[str]:
    told = [("Note", one.at, one.text, one.removed) for one in lot.notes]
    told += [("Photograph", one.at, one.caption, one.removed) for one in lot.photographs]
    return [
        f"{what} of {_plain(at)}: {text or '-'}"
        + (f" (taken back {_plain(removed.at)}: {removed.reason})" if removed else "")
        for what, at, text, removed in sorted(told, key=lambda one: one[1])
    ]


def _clock_line(found: lot_shapes.ClockOff) -> str:
    if found.seconds is None:
        return f"The clock was not set at {_plain(found.at)}: these times are wrong"
    late = "early" if found.seconds > 0 else "late"
    return (
        f"The clock was found off at {_plain(found.at)}:"
        f" these times are {abs(found.seconds):.1f} s too {late}"
    )


def _plain(instant: str | None) -> str:
    """Write an RFC 3339 time as a person reads it, to the second; "-" where there is none.

    A data folder knows no time zone, so it stays in UTC.
    """
    if instant is None:
        return "-"
    return f"{datetime.fromisoformat(instant):%Y-%m-%d %H:%M:%S}"
