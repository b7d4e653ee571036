"""Notes and photographs folded out of a lot's events."""

from collector.event_base import Event
from collector.events import decode, encode
from collector.lot_notes import LotNotes
from collector.note_events import (
    NoteTakenBack,
    NoteWritten,
    PhotographKept,
    PhotographTakenBack,
)

LOT = "2026-11-25-1"


def note(name: str, text: str, at_us: int = 1) -> NoteWritten:
    return NoteWritten(at_us=at_us, bench="mole", lot=LOT, note=name, text=text)


def note_back(name: str, at_us: int = 9) -> NoteTakenBack:
    return NoteTakenBack(at_us=at_us, bench="mole", lot=LOT, note=name, reason="the other lot")


def photograph(name: str, digest: str = "ab" * 32) -> PhotographKept:
    return PhotographKept(
        at_us=2,
        bench="mole",
        lot=LOT,
        photograph=name,
        digest=digest,
        media_type="image/png",
        size=70,
        width=4,
        height=3,
    )


def photograph_back(name: str, digest: str = "ab" * 32) -> PhotographTakenBack:
    return PhotographTakenBack(
        at_us=9, bench="mole", lot=LOT, photograph=name, digest=digest, reason="a face"
    )


JOURNAL: list[Event] = [
    note("n1", "frost at the rim"),
    photograph("p1"),
    note("n2", "wick off center"),
    photograph("p2", "cd" * 32),
    note_back("n1"),
    photograph_back("p1"),
]


def test_all_stands_in_order_and_what_was_taken_back_is_still_there() -> None:
    notes = LotNotes().after(JOURNAL)
    assert [(n.written.text, n.taken_back is None) for n in notes.notes.values()] == [
        ("frost at the rim", False),
        ("wick off center", True),
    ]
    assert [one.kept.photograph for one in notes.shown] == ["p2"]
    assert list(notes.photographs) == ["p1", "p2"]


def test_no_name_is_given_twice_also_after_something_was_taken_back() -> None:
    notes = LotNotes().after(JOURNAL)
    assert (notes.next_note, notes.next_photograph) == ("n3", "p3")
    assert (LotNotes().next_note, LotNotes().next_photograph) == ("n1", "p1")


def test_events_that_are_counted_twice_change_nothing() -> None:
    once = LotNotes().after(JOURNAL)
    for start in range(len(JOURNAL)):
        assert once.after(JOURNAL[start:]) == once


def test_the_same_picture_is_found_again_unless_it_was_taken_back() -> None:
    notes = LotNotes().after(JOURNAL)
    assert notes.same("ab" * 32) is None
    found = notes.same("cd" * 32)
    assert found is not None
    assert found.kept.photograph == "p2"


def test_what_takes_back_something_that_never_was_is_passed_over() -> None:
    assert LotNotes().after([note_back("n7"), photograph_back("p7")]) == LotNotes()


def test_every_event_comes_back_from_the_journal_as_it_was() -> None:
    assert [decode(encode(event)) for event in JOURNAL] == JOURNAL
