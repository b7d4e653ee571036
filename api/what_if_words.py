"""What other limits would have changed, in words."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from typing import Any

import msgspec

from collector.alarm_events import AlarmRaised
from collector.conclusions import WeighingAccepted, WeighingKind
from collector.display import Display
from collector.event_base import Event
from collector.events import encode
from collector.lot_record import PhaseRun
from collector.replay import Difference
from collector.what_if import (
    Change,
    DeviationChanged,
    PhaseChanged,
    PhaseLimit,
    WeighingChanged,
    WhatIf,
    met,
)

US_PER_S = 1_000_000
DAY_S = 86_400


def clock(us: int) -> str:
    """Write the time of day, UTC, to the second."""
    return f"{datetime.fromtimestamp(us // US_PER_S, UTC):%H:%M:%S}"


def lines(what_if: WhatIf, display: Display) -> Iterator[str]:
    """Say each thing that would have been different in a line."""
    yield from (deviation(changed) for changed in what_if.deviations)
    yield from (phase(changed, display) for changed in what_if.phases)
    yield from weighings(what_if.weighings, display)


def deviation(changed: DeviationChanged) -> str:
    """Say what would have been told, or not, or otherwise."""
    before, after = changed.before, changed.after
    if after is None:
        return f"would not have been told: {_told(before)}"
    if before is None:
        return f"would have been told at {clock(after.at_us)}: {after.message}"
    return f"would have been told at {clock(after.at_us)}: {after.message} It was: {_told(before)}"


def _told(alarm: AlarmRaised | None) -> str:
    return "" if alarm is None else f"{alarm.message} ({clock(alarm.at_us)})"


def weighings(every: Iterable[WeighingChanged], display: Display) -> Iterator[str]:
    """Say how weighings would have been judged; those of which the same is to be said together."""
    alike: dict[tuple[WeighingKind, str], list[WeighingAccepted]] = defaultdict(list)
    for changed in every:
        shown = changed.after or changed.before
        if shown is not None:
            alike[shown.kind, _judged(changed, display)].append(shown)
    for (_kind, words), found in alike.items():
        masses = [weighing.mass_mg for weighing in found]
        ends = dict.fromkeys(display.grams(mass) for mass in (min(masses), max(masses)))
        yield f"{_weighed(found)}: {' to '.join(ends)}, {words}"


def _judged(changed: WeighingChanged, display: Display) -> str:
    before, after = changed.before, changed.after
    if after is None:
        return "would not have been recognized"
    if before is None:
        verdict = "within" if met(after) else "off"
        return f"would have been recognized, {verdict} {_asked(after, display)}"
    mass = ""
    if before.mass_mg != after.mass_mg:
        mass = f"weighed as {display.grams(before.mass_mg)} before, "
    return (
        f"{mass}target {_asked(after, display)} instead of {_asked(before, display)}:"
        f" {_verdict(before, after)}"
    )


def _weighed(found: list[WeighingAccepted]) -> str:
    vessels = [str(weighing.vessel) for weighing in found if weighing.vessel is not None]
    if vessels:
        return f"vessel{'' if len(vessels) == 1 else 's'} {', '.join(vessels)}"
    return " and ".join(
        f"{weighing.kind.value} of pitcher {weighing.pitcher}" for weighing in found
    )


def _asked(weighing: WeighingAccepted, display: Display) -> str:
    return f"{display.grams(weighing.target_mg)} ± {display.grams(weighing.tolerance_mg)}"


def _verdict(before: WeighingAccepted, after: WeighingAccepted) -> str:
    now = "within" if met(after) else "off"
    if met(before) is met(after):
        return f"still {now}"
    return f"{now}, not {'within' if met(before) else 'off'}"


def phase(changed: PhaseChanged, display: Display) -> str:
    """Say how a phase would have gone, and what would have been asked of it."""
    run = changed.after or changed.before
    name = "" if run is None else f"{run.phase} of pitcher {run.pitcher}"
    if changed.change is Change.GONE:
        return f"{name}: would not have been a phase of this lot"
    asked = limit(changed.limit_after, display)
    if changed.change is Change.NEW:
        return f"{name}: would have begun at {_run(changed.after)}, {asked}"
    words = []
    if changed.limit_before != changed.limit_after:
        words.append(f"{asked} instead of {limit(changed.limit_before, display)}")
    if _run(changed.before) != _run(changed.after):
        words.append(f"{_run(changed.after)} instead of {_run(changed.before)}")
    return f"{name}: {', '.join(words)}"


def limit(limit: PhaseLimit, display: Display) -> str:
    """Write what is asked of a phase."""
    asked = []
    if limit.window is not None:
        asked.append(display.span(limit.window.low_mdegc, limit.window.high_mdegc))
    if limit.at_least_s is not None:
        asked.append(f"at least {span(limit.at_least_s)}")
    if limit.at_most_s is not None:
        asked.append(f"at most {span(limit.at_most_s)}")
    return " and ".join(asked) or "no limit"


def span(seconds: int) -> str:
    """Write a duration that a recipe asks for: whole days as such, all else in seconds."""
    if seconds >= DAY_S and seconds % DAY_S == 0:
        days = seconds // DAY_S
        return f"{days} day{'' if days == 1 else 's'}"
    return f"{seconds} s"


def _run(run: PhaseRun | None) -> str:
    if run is None:
        return ""
    if run.duration_us is None:
        return f"{clock(run.began_us)} on"
    return f"{clock(run.began_us)} for {run.duration_us / US_PER_S:.0f} s"


def difference(found: Difference) -> str:
    """Say where the kept events and those of now part."""
    kept, now = _fields(found.kept), _fields(found.now)
    head = f"event {found.place}"
    if kept.get("type") != now.get("type"):
        return f"{head} is kept as {_event(kept)}, judged now it is {_event(now)}"
    parts = [key for key in kept if kept[key] != now.get(key)]
    words = (f"{key} is kept as {kept[key]!r}, judged now it is {now.get(key)!r}" for key in parts)
    return f"{head}, {_event(kept)}: {'; '.join(words)}"


def _fields(event: Event | None) -> dict[str, Any]:
    return {} if event is None else msgspec.json.decode(encode(event), type=dict[str, Any])


def _event(fields: dict[str, Any]) -> str:
    if not fields:
        return "missing"
    about = (fields.get(key) for key in ("rule", "phase", "kind") if fields.get(key))
    return " ".join([f"{fields['type']} at {clock(fields['at_us'])}", *map(str, about)])
