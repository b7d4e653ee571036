"""Is the journal whole? Every link recomputed, every column compared with the event's JSON.

Pure: rows come in, faults come out.
"""

from collections.abc import Iterator
from typing import NamedTuple

import msgspec

from collector.events import AnyEvent, decode
from collector.store.chain import GENESIS, link
from collector.store.faults import Fault, at_event


class JournalRow(NamedTuple):
    """An event as its table holds it."""

    seq: int
    at_us: int
    bench: str | None
    lot: str | None
    kind: str
    body: bytes
    chain: bytes


class ChainAudit:
    """Goes along the journal, link by link.

    After a broken link it goes on from what is stored there, so that only breaks are named,
    not everything that follows them.
    """

    def __init__(self) -> None:
        self._seq = 0
        self._chain = GENESIS

    def check(self, row: JournalRow) -> Iterator[Fault]:
        """Give what is wrong between the row before and this one."""
        if row.seq != self._seq + 1:
            yield _missing(self._seq + 1, row.seq - 1)
        elif row.chain != link(self._chain, row.body):
            yield at_event(
                row.seq,
                "Its chain does not follow from the event before and its own text: one of them"
                " was changed after it was written.",
            )
        self._seq, self._chain = row.seq, row.chain

    def finish(self, tip: tuple[int, bytes] | None) -> Iterator[Fault]:
        """Give what is wrong at the journal's end, against the store's record of it."""
        seq, chain = tip or (0, GENESIS)
        if seq > self._seq:
            yield _missing(self._seq + 1, seq)
        elif (seq, chain) != (self._seq, self._chain):
            yield Fault(
                "table tip",
                f"The store's record of the last event (number {seq}) does not agree with the"
                f" journal, which ends with number {self._seq}.",
            )


def _missing(first: int, last: int) -> Fault:
    which = "It is" if first == last else f"Events {first} to {last} are"
    return at_event(first, f"{which} missing from the journal.")


def read_row(row: JournalRow) -> AnyEvent | Fault:
    """Return the event that a row's text tells, or that it tells none."""
    event = read_body(row.body)
    return at_event(row.seq, event) if isinstance(event, str) else event


def read_body(body: bytes) -> AnyEvent | str:
    """Return the event that a text tells, or a sentence that it tells none."""
    try:
        return decode(body)
    except (msgspec.MsgspecError, UnicodeDecodeError) as error:
        return f"Its text is not an event: {error}."


def compare_columns(row: JournalRow, event: AnyEvent) -> Iterator[Fault]:
    """Give a fault where a row's columns say other things than its text."""
    told = {
        "at_us": event.at_us,
        "bench": event.bench,
        "lot": event.lot,
        "kind": event.__struct_config__.tag,
    }
    wrong = [name for name, value in told.items() if value != getattr(row, name)]
    if wrong:
        yield at_event(row.seq, f"Its text and its columns disagree in {', '.join(wrong)}.")
