"""Each alarm is raised once and cleared once."""

from collector.alarm_book import AlarmBook, AlarmKey
from collector.events import AlarmCleared, AlarmFolded, AlarmRaised
from collector.phases import Phase
from collector.procedure import Where
from collector.rules import phase_order

WHERE = Where(1_000, "creek", "7")
ORDER = AlarmKey("phase-order", 1, subject="add fragrance")
SKIP = AlarmKey("skipped-phase", 1, subject="add fragrance")
VIOLATION = phase_order(Phase.STIR, Phase.ADD_FRAGRANCE)


def test_an_alarm_is_raised_once_until_it_is_cleared() -> None:
    book = AlarmBook("7")
    (first,) = book.raise_alarm(WHERE, ORDER, VIOLATION)
    assert isinstance(first, AlarmRaised)
    assert (first.alarm, first.rule, first.pitcher) == ("7.1", "phase-order", 1)
    assert book.raise_alarm(WHERE, ORDER, VIOLATION) == []
    (cleared,) = book.clear(WHERE, ORDER, "done after all")
    assert isinstance(cleared, AlarmCleared)
    assert (cleared.alarm, cleared.outcome) == ("7.1", "done after all")
    (again,) = book.raise_alarm(WHERE, ORDER, VIOLATION)
    assert isinstance(again, AlarmRaised)
    assert again.alarm == "7.2"


def test_clearing_what_is_not_raised_changes_nothing() -> None:
    assert AlarmBook("7").clear(WHERE, ORDER, "nothing") == []


def test_another_vessel_is_another_alarm() -> None:
    book = AlarmBook("7")
    book.raise_alarm(WHERE, AlarmKey("fill-grams", 1, 1), VIOLATION)
    book.raise_alarm(WHERE, AlarmKey("fill-grams", 1, 2), VIOLATION)
    assert book.raised == 2


def test_a_first_sign_is_folded_into_its_cause() -> None:
    book = AlarmBook("7")
    book.raise_alarm(WHERE, ORDER, VIOLATION)
    assert book.fold(WHERE, ORDER, SKIP) == []
    book.raise_alarm(WHERE, SKIP, VIOLATION)
    (folded,) = book.fold(WHERE, ORDER, SKIP)
    assert isinstance(folded, AlarmFolded)
    assert (folded.alarm, folded.into) == ("7.1", "7.2")
    assert ORDER not in book
    assert SKIP in book


def test_closing_clears_whatever_is_left() -> None:
    book = AlarmBook("7")
    book.raise_alarm(WHERE, ORDER, VIOLATION)
    book.raise_alarm(WHERE, SKIP, VIOLATION)
    assert len(book.clear_all(WHERE, "the lot was closed")) == 2
    assert book.keys() == ()
