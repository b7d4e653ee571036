"""`pourkeep verify`: checks whether a data folder is sound."""

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path

from api.command_line.store_words import SHOWN, counted, fault_lines, moment
from collector.store.database import reading_from
from collector.store.faults import Fault
from collector.store.history import History
from collector.store.journal_break import JournalBreak, Place, first_break
from collector.store.projection_audit import PROJECTIONS
from collector.store.verify import verify

REBUILT = tuple(f"{projection.noun} " for projection in PROJECTIONS)


def run(arguments: argparse.Namespace) -> int:
    """Check journal and store; print where they break, the first broken link before all."""
    data: Path = arguments.data
    faults = verify(data)
    if not faults:
        events = counted(History(data).last_seq(), "event")
        print(f"{data}: sound. The journal's chain and the store agree ({events}).")
        return 0
    with reading_from(data) as connection:
        found = first_break(connection)
    lines = without_break(data, faults) if found is None else break_lines(data, found)
    print("\n".join([f"{data}: NOT SOUND", *lines]))
    print(f"All that was found ({counted(len(faults), 'fault')})")
    print("\n".join(fault_lines(faults, len(faults) if arguments.all else SHOWN)))
    return 1


def break_lines(data: Path, found: JournalBreak) -> Iterator[str]:
    """Say where the journal breaks first, what that means and what to do."""
    yield _headline(found)
    yield f"  {found.fault.sentence}"
    yield "What this means"
    if found.fault.seq is None:
        yield "  The last events may be others than those that were written."
    elif found.sound is None:
        yield "  No event of this journal can be relied on."
    else:
        through = f"{found.sound.seq:,}, of {moment(found.sound.at_us)}"
        yield f"  Everything up to event {through}, is as it was written."
        yield "  What the lots show of later events may have been changed, or be missing."
    yield "What to do"
    yield "  1. Stop the service, and copy this folder whole to another disk. Change nothing in it."
    yield "  2. Take the latest backup into a new folder: pourkeep restore --from FILE --data NEW"
    yield "     It is checked before it is used. Let the service work on the new folder."
    yield f"  3. Without a backup, pourkeep lots --data {data} still shows what can be read."


def _headline(found: JournalBreak) -> str:
    if found.fault.seq is None:
        return f"The chain breaks at its end, after event {found.last:,}."
    what = "The chain breaks at" if found.chained else "The text cannot be read of"
    return f"{what} event {found.seq:,} of {found.last:,}{_named(found.broken)}."


def _named(place: Place | None) -> str:
    if place is None:
        return ""
    lot = "" if place.lot is None else f" of lot {place.lot}"
    return f" ({place.kind.replace('-', ' ')}{lot}, {moment(place.at_us)})"


def without_break(data: Path, faults: Sequence[Fault]) -> Iterator[str]:
    """Say what the faults mean where the journal itself is whole, and what to do."""
    yield "The journal's chain is whole: every event is as it was written."
    rebuilt = [fault for fault in faults if fault.place.startswith(REBUILT) and fault.seq is None]
    if rebuilt:
        what = counted(len(rebuilt), "row")
        yield f"In the tables that follow from it, {what} are missing, foreign or different."
        yield f"  Stop the service, then: pourkeep rebuild --data {data}"
    if len(rebuilt) < len(faults):
        yield "Something else of the store does not agree with it."
        yield "  Stop the service, copy this folder whole to another disk, and restore the latest"
        yield "  backup into a new folder: pourkeep restore --from FILE --data NEW"
