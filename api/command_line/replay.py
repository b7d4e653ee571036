"""`pourkeep replay`: judges stored lots again, by their own limits or by another recipe's."""

import argparse
import json
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path

from api import what_if_words
from api.judging import Judged, judge_again, judge_many
from api.removed_readings import were_removed
from api.replay_shapes import shown
from collector.errors import NotFoundError
from collector.recipe_file import read_recipe_file
from collector.recipes import Recipe
from collector.store.history import History
from collector.store.records import StoredLot
from collector.what_if import Change

MISUSED = 2

WORDS = {
    Change.NEW: "{} would have been new",
    Change.GONE: "{} would not have been",
    Change.OTHER: "{} with other numbers",
}


def run(arguments: argparse.Namespace) -> int:
    """Judge one lot or many again; 1 where a lot's own limits no longer give what is kept.

    2 where it was called wrong.
    """
    if arguments.id is not None and (arguments.since or arguments.until or arguments.of):
        choosing = "--since, --until and --of choose among many lots: use --all"
        print(f"pourkeep: {choosing}", file=sys.stderr)
        return MISUSED
    recipe = None if arguments.recipe is None else read_recipe_file(arguments.recipe)[0]
    if arguments.all:
        return _run_all(arguments, recipe)
    judged = _judge_one(arguments.data, recipe, arguments.id)
    if arguments.json:
        print(json.dumps(shown(judged).model_dump(by_alias=True), indent=2))
    else:
        print("\n".join(one_lot(judged, recipe)))
    return _exit_code([judged], recipe)


def _judge_one(data: Path, recipe: Recipe | None, lot: str) -> Judged:
    try:
        return judge_again(data, recipe, lot)
    except NotFoundError:
        raise NotFoundError(
            f"There is no lot {lot!r}. pourkeep lots --data {data} lists them."
        ) from None


def _run_all(arguments: argparse.Namespace, recipe: Recipe | None) -> int:
    chosen = list(_chosen(arguments))
    history = History(arguments.data)
    lots = [lot.id for lot in chosen if not were_removed(history, lot.id, lot.opened_us)]
    if len(lots) < len(chosen):
        left_out = f"{len(chosen) - len(lots)} of {len(chosen)} lots are left out"
        print(f"pourkeep: {left_out}: readings of theirs were removed.", file=sys.stderr)
    judging = judge_many(arguments.data, recipe, lots)
    if arguments.json:
        every = list(judging)
        print(json.dumps([shown(one).model_dump(by_alias=True) for one in every], indent=2))
        return _exit_code(every, recipe)
    every = []
    for judged in judging:
        every.append(judged)
        print(line(judged, recipe), flush=True)
    print("\n".join(sums(every, recipe)) if every else _nothing(arguments))
    return _exit_code(every, recipe)


def _nothing(arguments: argparse.Namespace) -> str:
    chosen = any(c is not None for c in (arguments.since, arguments.until, arguments.of))
    return f"{arguments.data}: no lots {'of that choice' if chosen else 'yet'}"


def _exit_code(every: Iterable[Judged], recipe: Recipe | None) -> int:
    return int(recipe is None and any(judged.difference is not None for judged in every))


def _chosen(arguments: argparse.Namespace) -> Iterator[StoredLot]:
    """Give the lots of a recipe that were opened from one day (UTC) to another, in order."""
    since, until, of = arguments.since or date.min, arguments.until or date.max, arguments.of
    for lot in reversed(History(arguments.data).lots()):
        day = datetime.fromtimestamp(lot.opened_us // what_if_words.US_PER_S, UTC).date()
        if since <= day <= until and of in {None, lot.recipe}:
            yield lot


def one_lot(judged: Judged, recipe: Recipe | None) -> Iterator[str]:
    """Say in lines what came of one lot."""
    yield f"Lot {judged.lot}: {judged.recipe}"
    yield f"  {_pace([judged])}"
    if recipe is None:
        yield f"  {_compared(judged)}"
        return
    if judged.difference is not None:
        yield "  This version judges the lot otherwise than it is kept; compared is as of now."
    if not judged.what_if:
        yield f"  Under {recipe.name!r} nothing would have been different."
        return
    yield f"  Under {recipe.name!r} (all times are UTC)"
    for words in what_if_words.lines(judged.what_if, judged.display):
        yield f"    {words}"


def _compared(judged: Judged) -> str:
    if judged.difference is None:
        return f"The {judged.events} derived events are identical byte for byte."
    return f"The derived events differ: {what_if_words.difference(judged.difference)}."


def line(judged: Judged, recipe: Recipe | None) -> str:
    """Say in a line what came of one lot among many."""
    head = f"{judged.lot:14} {judged.recipe}: "
    if recipe is None:
        what = f"{judged.events} events, identical"
        return head + (what if judged.difference is None else _compared(judged))
    if not judged.what_if:
        return f"{head}nothing different"
    changes = Counter(changed.change for changed in judged.what_if.deviations)
    words = [WORDS[change].format(_several(changes[change], "deviation")) for change in WORDS]
    told = [text for text, change in zip(words, WORDS, strict=True) if changes[change]]
    return head + (", ".join(told) or "no deviation different, but targets")


def _several(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"


def sums(every: list[Judged], recipe: Recipe | None) -> Iterator[str]:
    """Say in lines what came of all lots together."""
    yield _pace(every)
    if recipe is None:
        same = sum(judged.difference is None for judged in every)
        yield f"{_several(len(every), 'lot')}, {same} of them identical byte for byte."
        return
    changes: Counter[tuple[str, Change]] = Counter(
        (changed.rule, changed.change)
        for judged in every
        if judged.what_if is not None
        for changed in judged.what_if.deviations
    )
    yield f"Deviations of {_several(len(every), 'lot')} under {recipe.name!r}:"
    for rule in sorted({rule for rule, _change in changes}):
        numbers = ", ".join(f"{changes[rule, change]} {change.value}" for change in Change)
        yield f"  {rule:22} {numbers}"
    if not changes:
        yield "  none would have been different"
    recipes = len({judged.recipe for judged in every})
    if recipes > 1:
        yield f"They are lots of {recipes} recipes: --of NAME judges those of one."


def _pace(every: Iterable[Judged]) -> str:
    lots = list(every)
    took_s = sum(judged.took_s for judged in lots)
    lasted_s = sum(judged.lasted_us for judged in lots) / what_if_words.US_PER_S
    judged_s = sum(judged.lasted_us * judged.times for judged in lots) / what_if_words.US_PER_S
    readings = sum(judged.readings for judged in lots)
    events = sum(judged.events for judged in lots)
    twice = " twice" if any(judged.times == 2 for judged in lots) else ""
    return (
        f"{readings:,} readings of {lasted_s / 60:.0f} min, {events} events: judged{twice} in"
        f" {took_s:.2f} s, {judged_s / took_s:,.0f} times real time."
    )
