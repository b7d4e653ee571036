"""How the service does: what fails, and what should be seen to before it does."""

import asyncio
from collections.abc import Iterator
from typing import get_args

from api.health_shapes import Check, Health, Status
from api.progress_watch import stuck_beat, stuck_commit, stuck_reader
from collector.clock import synchronized
from collector.instrument_state import InstrumentState, LinkState
from collector.workshop import Workshop

NOT_SET = (
    "The computer's clock has not been set from the network since it started: times may be wrong."
)

GONE = (
    "The record's file is not in the data folder any more: what is collected is kept nowhere."
    " Stop the service, bring the folder back or restore a backup, and start it again."
)

_RANK = {status: place for place, status in enumerate(get_args(Status))}
_UNWELL = {LinkState.SILENT: "is silent", LinkState.LOST: "is not there"}


def health_of(workshop: Workshop) -> Health:
    """Look at everything. To be called in the event loop; blocks on nothing."""
    checks = [
        _store(workshop),
        _space(workshop),
        _pipeline(workshop),
        *_readers(workshop),
        *_instruments(workshop),
        _clock(workshop),
        *_companions(workshop),
        *_senders(workshop),
        *_notices(workshop),
    ]
    worst = max((check.status for check in checks), key=_RANK.__getitem__)
    return Health(status=worst, checks=checks)


def notice_of(workshop: Workshop) -> str | None:
    """Return what is not yet trouble but should be seen to, for the screens; None if nothing.

    Instruments are not in it: the screens show each of them where it belongs.
    """
    about = [
        *([_store(workshop)] if workshop.space.gone else []),
        *([] if workshop.pipeline.trouble else [_space(workshop)]),  # that one says it louder
        _clock(workshop),
        *_companions(workshop),
        *_senders(workshop),
        *_notices(workshop),
    ]
    return " ".join(check.sentence for check in about if check.status != "ok") or None


def _check(name: str, status: Status, sentence: str, **numbers: float | None) -> Check:
    return Check.model_validate(
        {"name": name, "status": status, "sentence": sentence, **numbers}, strict=True
    )


def _store(workshop: Workshop) -> Check:
    batch, now_s = workshop.pipeline.batch, asyncio.get_running_loop().time()
    hangs = stuck_commit(workshop, now_s) or (GONE if workshop.space.gone else None)
    since_s = batch.committing_since_s
    return _check(
        "store",
        "failing" if workshop.pipeline.trouble or hangs else "ok",
        workshop.pipeline.trouble or hangs or "What is collected is on disk within a second.",
        waiting_readings=batch.waiting,
        lost_readings=batch.tally.lost,
        last_commit_age_s=batch.tally.age_s(now_s),
        commit_under_way_s=None if since_s is None else now_s - since_s,
    )


def _space(workshop: Workshop) -> Check:
    space = workshop.space.space
    if space is None and workshop.space.failed:
        return _check("disk space", "warning", "How much room the disk has cannot be told.")
    if space is None:
        return _check("disk space", "ok", "Nobody has looked yet.")
    return _check(
        "disk space",
        "warning" if space.low else "ok",
        space.sentence,
        free_bytes=space.free_bytes,
        store_bytes=space.store_bytes,
        left_s=space.left_s,
    )


def _pipeline(workshop: Workshop) -> Check:
    beat_s, now_s = workshop.pipeline.beat_s, asyncio.get_running_loop().time()
    hangs = stuck_beat(workshop, now_s)
    return _check(
        "pipeline",
        "failing" if hangs else "ok",
        hangs or "Readings and events get through.",
        last_beat_age_s=None if beat_s is None else now_s - beat_s,
        dropped_samples=workshop.pipeline.inbox.dropped,
    )


def _readers(workshop: Workshop) -> Iterator[Check]:
    for reader in workshop.readers:
        names, hangs = ", ".join(reader.names), stuck_reader(reader)
        yield _check(
            f"reader of {names}",
            "failing" if hangs else "ok",
            hangs or f"The thread that reads {names} gets on.",
            last_round_age_s=reader.pulse().age_s,
        )


def _instruments(workshop: Workshop) -> Iterator[Check]:
    now_us = workshop.clock.now_us()
    for state in workshop.pipeline.instruments.values():
        yield _instrument(state.at(now_us), now_us)


def _instrument(state: InstrumentState, now_us: int) -> Check:
    unwell = _UNWELL.get(state.state)
    name = state.instrument.name
    said = f"{name} {unwell}: {state.reason}. {(state.remedy or '').rstrip('.')}."
    age_s = None if state.last is None else (now_us - state.last.taken_us) / 1_000_000
    return _check(
        f"instrument {name}",
        "warning" if unwell else "ok",
        said if unwell else f"{name} is {state.state.value}.",
        last_reading_age_s=age_s,
    )


def _clock(workshop: Workshop) -> Check:
    state = workshop.pipeline.clock_state
    if state is None:
        return _check("clock", "ok", "The clock is that of a simulated day.")
    is_set = synchronized()
    complaint = state.sentence or (NOT_SET if is_set is False else None)
    good = "The computer's clock is set from the network." if is_set else "The clock is steady."
    return _check(
        "clock",
        "warning" if complaint else "ok",
        complaint or good,
        synchronized=is_set,
        off_s=state.off_us / 1_000_000,
    )


def _companions(workshop: Workshop) -> Iterator[Check]:
    for name, defect in workshop.companions.failures.items():
        sentence = f"{name} stopped over a defect and is started again ({defect})."
        yield _check(name, "warning", sentence)


def _senders(workshop: Workshop) -> Iterator[Check]:
    for state in (sender.state for sender in workshop.senders):
        status: Status = "ok" if state.working and not state.refused else "warning"
        yield _check(
            state.target,
            status,
            state.sentence,
            waiting_commits=state.waiting,
            refused_points=state.refused,
        )


def _notices(workshop: Workshop) -> Iterator[Check]:
    for state in workshop.notices.targets if workshop.notices is not None else []:
        yield _check(
            f"notices to {state.target}",
            "ok" if state.working else "warning",
            state.sentence,
            waiting_messages=state.waiting,
            lost_messages=state.lost,
        )
