"""`pourkeep alarms`: the log of alarms of a data folder, and what it amounts to in numbers."""

import argparse
import json
from datetime import datetime

from api import alarm_presenting as presenting
from api import alarm_shapes as shapes
from api.instants import microseconds
from collector.alarm_ledger import LEDGER_EVENTS
from collector.alarm_log import figures_of, log_of
from collector.store.history import History


def run(arguments: argparse.Namespace) -> int:
    """Print log and figures of a span, of the whole journal unless told otherwise."""
    events = [stored.event for stored in History(arguments.data).events_of(LEDGER_EVENTS)]
    if not events:
        print("[]" if arguments.json else f"{arguments.data}: no alarms yet")
        return 0
    first_us, last_us = events[0].at_us, max(event.at_us for event in events) + 1
    from_us = first_us if arguments.since is None else microseconds(arguments.since)
    to_us = last_us if arguments.until is None else microseconds(arguments.until)
    log = [presenting.entry(entry) for entry in log_of(events, from_us, to_us)]
    figures = presenting.figures(figures_of(events, from_us, to_us))
    if arguments.json:
        shown = {
            "log": [entry.model_dump() for entry in log],
            "figures": figures.model_dump(by_alias=True),
        }
        print(json.dumps(shown, indent=2))
    else:
        print("\n".join([*(log_line(entry) for entry in log), *figure_lines(figures)]))
    return 0


def log_line(entry: shapes.LogEntryShown) -> str:
    """Write an event of the log in a line; times are UTC."""
    at = f"{datetime.fromisoformat(entry.at):%Y-%m-%d %H:%M:%S}"
    what = entry.rule if entry.subject is None else f"{entry.rule} ({entry.subject})"
    text = entry.text
    if entry.until is not None:
        text = f"until {datetime.fromisoformat(entry.until):%H:%M:%S}: {text or 'no reason given'}"
    return f"{at}  {entry.alarm or entry.bench or '':16} {entry.event:12} {what}  {text}"


def figure_lines(figures: shapes.FiguresShown) -> list[str]:
    """Write figures in lines."""
    answers, shares = figures.answers, figures.priorities
    crowds = f"worst hour {figures.worst_hour.alarms}, worst ten minutes"
    trouble = f"floods {len(figures.floods)}, chattering {len(figures.chattering)}"
    times = f"median {_seconds(answers.median_seconds)}"
    lines = [
        f"{figures.alarms} alarms, {figures.per_hour:.1f} an hour",
        f"  {crowds} {figures.worst_ten_minutes.alarms}, {trouble}, stale {len(figures.stale)}",
        f"  acknowledged {answers.acknowledged}, never {answers.never}",
        f"  acknowledged after: {times}, 95 % within {_seconds(answers.p95_seconds)}",
        "  " + ", ".join(f"{s.priority} {s.alarms} ({100 * s.share:.0f} %)" for s in shares),
    ]
    lines += [f"  {_times(one)}" for one in figures.most_frequent]
    return lines + [f"  {_target(target)}" for target in figures.targets]


def _times(one: shapes.RecurrenceShown) -> str:
    what = one.rule if one.subject is None else f"{one.rule} ({one.subject})"
    return f"{one.alarms:4} times {what} at {one.bench}"


def _target(target: shapes.TargetShown) -> str:
    verdict = "kept" if target.met else "not kept"
    return (
        f"{target.what}: {target.found:g}, target at most {target.target:g}, {verdict}"
        f" ({target.source})"
    )


def _seconds(seconds: float | None) -> str:
    return "-" if seconds is None else f"{seconds:.0f} s"
