"""Stored lots judged again: each by its own limits, or by those of another recipe."""

import multiprocessing
import os
import time
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import msgspec

from api.removed_readings import were_removed
from collector.display import Display
from collector.errors import PourkeepError
from collector.event_base import Event
from collector.lot_events import LotClosed, LotOpened
from collector.lot_record import LotRecord, record_of
from collector.recipes import Recipe
from collector.replay import Difference, derived_of, first_difference, replay, under
from collector.store.history import History
from collector.what_if import WhatIf, compare

WORTH_A_PROCESS = 20
"""So many lots take longer than a second process takes to start."""


class Judged(msgspec.Struct, frozen=True, kw_only=True):
    """A lot judged again.

    `took_s` is the time of it all, the reading of the store included; `times` is how often the
    lot was judged in it, twice where there is another recipe. `difference` is None where the
    lot's own limits give what is kept, byte for byte; `what_if` where no other recipe was tried.
    """

    lot: str
    recipe: str
    display: Display
    lasted_us: int
    readings: int
    events: int
    took_s: float
    times: int
    difference: Difference | None = None
    what_if: WhatIf | None = None


def judge_again(data: Path, recipe: Recipe | None, lot: str) -> Judged:
    """Judge a stored lot again. Raises NotFoundError and StoreError.

    Raises PourkeepError where readings of it were removed.

    What another recipe changes is counted from the lot as this version judges it by its own
    limits, so that nothing is put down to the recipe that an older version judged otherwise.
    """
    began = time.perf_counter()
    history = History(data)
    material = history.material(lot)
    if were_removed(history, lot, material.events[0].at_us):
        raise PourkeepError(
            f"Readings of lot {lot} were removed ([store] in workshop.toml), so it cannot be judged"
            " again. Keep a lot that you want to judge later."
        )
    bench, derived = replay(material.events, material.readings())
    record = _record(material.events, derived)
    difference = first_difference(derived_of(material.events), derived)
    what_if = None
    if recipe is not None:
        others = under(material.events, recipe)
        _bench, otherwise = replay(others, material.readings())
        what_if = compare(record, _record(others, otherwise))
    return Judged(
        lot=lot,
        recipe=record.opened.recipe.name,
        display=record.opened.display,
        lasted_us=(record.closed_us or bench.now_us) - record.opened.at_us,
        readings=material.count,
        events=len(derived),
        took_s=time.perf_counter() - began,
        times=1 if recipe is None else 2,
        difference=difference,
        what_if=what_if,
    )


def judge_many(data: Path, recipe: Recipe | None, lots: Sequence[str]) -> Iterator[Judged]:
    """Judge many lots again, in their order; more than a few by as many processes as cores."""
    judge = partial(judge_again, data, recipe)
    workers = min(os.cpu_count() or 1, len(lots) // WORTH_A_PROCESS + 1)
    if workers == 1:
        yield from map(judge, lots)
        return
    with _processes(workers) as pool:
        yield from pool.map(judge, lots, chunksize=4)


def _record(journal: Iterable[Event], derived: Iterable[Event]) -> LotRecord:
    """Fold what was derived between a lot's opening and its close, whatever people did since."""
    edges = [event for event in journal if isinstance(event, LotOpened | LotClosed)]
    return record_of([edges[0], *derived, *edges[1:]])


@contextmanager
def _processes(workers: int) -> Iterator[ProcessPoolExecutor]:
    """Give fresh processes; those that wait in line are not begun where the block is left."""
    pool = ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn"))
    try:
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)
