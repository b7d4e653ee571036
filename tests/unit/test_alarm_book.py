"""Each alarm is raised once and cleared once, in the manner of the recipe, with its cause."""

import msgspec
import pytest
from feed_script import PITCHER, POT, SCALE, channels_of
from stranger_round import AMBER

from collector.advice import Words
from collector.alarm_book import AlarmBook, AlarmKey, manners_of
from collector.alarm_events import (
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmReleased,
    AlarmSuppressed,
)
from collector.display import Display
from collector.errors import ConflictError
from collector.lot_events import OutOfService
from collector.phases import Phase
from collector.priorities import Priority
from collector.procedure import Where
from collector.readings import Role
from collector.recipes import Manner, OwnLimit
from collector.rules import (
    Violation,
    instrument_silent,
    over_temperature,
    phase_order,
    skipped_phase,
    skipped_vessels,
)

WHERE = Where(1_000, "creek", "7")
ORDER = AlarmKey("phase-order", 1, subject="add fragrance")
SKIP = AlarmKey("skipped-phase", 1, subject="add fragrance")
HOT = AlarmKey("over-temperature", subject=POT)
SILENT_POT = AlarmKey("instrument-silent", subject=POT)
SILENT_SCALE = AlarmKey("instrument-silent", subject=SCALE)
WORDS = Words("", "")
VIOLATION = phase_order(Phase.STIR, Phase.ADD_FRAGRANCE)
TOO_HOT = over_temperature(POT, 93_000, 94_000, Display())


def silence(channel: str) -> Violation:
    return instrument_silent(channel, "", "it says nothing", "Look.")


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


def test_priority_and_latching_are_as_the_recipe_says() -> None:
    own = OwnLimit(
        rule="jug-warm", role=Role.PITCHER, high_mdegc=1, manner=Manner(priority=Priority.LOW)
    )
    manners = {"over-temperature": Manner(latched=True)}
    recipe = msgspec.structs.replace(AMBER, manners=manners, own_limits=(own,))
    book = AlarmBook("7", manners_of(recipe), channels_of(POT, SCALE))
    (hot,) = book.raise_alarm(WHERE, HOT, TOO_HOT)
    (jug,) = book.raise_alarm(WHERE, AlarmKey("jug-warm", subject=POT), TOO_HOT)
    assert isinstance(hot, AlarmRaised)
    assert isinstance(jug, AlarmRaised)
    assert (hot.latched, hot.priority) == (True, TOO_HOT.priority)
    assert (jug.latched, jug.priority) == (False, Priority.LOW)


def test_a_latched_alarm_that_comes_again_becomes_part_of_the_new_one() -> None:
    book = AlarmBook("7", {"over-temperature": Manner(latched=True)})
    book.raise_alarm(WHERE, HOT, TOO_HOT)
    book.clear(WHERE, HOT, "cooler")
    assert book.latched == {"7.1"}
    assert HOT not in book
    raised, folded = book.raise_alarm(WHERE, HOT, TOO_HOT)
    assert isinstance(raised, AlarmRaised)
    assert isinstance(folded, AlarmFolded)
    assert (folded.alarm, folded.into) == ("7.1", raised.alarm)
    assert book.latched == frozenset()
    assert book.violated == {"7.2"}


def test_a_latched_alarm_that_was_reset_is_done_with() -> None:
    book = AlarmBook("7", {"over-temperature": Manner(latched=True)})
    book.raise_alarm(WHERE, HOT, TOO_HOT)
    book.clear(WHERE, HOT, "cooler")
    book.reset("7.1")
    assert len(book.raise_alarm(WHERE, HOT, TOO_HOT)) == 1


# ------------------------------------------------------------------ out of service


def test_a_rule_out_of_service_is_not_raised_and_told_when_it_is_put_back() -> None:
    book = AlarmBook("7", out_of_service=[OutOfService("over-temperature", POT, "broken")])
    assert book.raise_alarm(WHERE, HOT, TOO_HOT) == []
    assert HOT in book  # so that nobody raises it again and again
    assert book.keys() == ()
    (raised,) = book.put_back(WHERE, "over-temperature", POT)
    assert isinstance(raised, AlarmRaised)
    assert (raised.alarm, raised.subject) == ("7.1", POT)


def test_what_was_put_right_out_of_service_is_never_told() -> None:
    book = AlarmBook("7", out_of_service=[OutOfService("over-temperature", None, "broken")])
    book.raise_alarm(WHERE, HOT, TOO_HOT)
    assert book.clear(WHERE, HOT, "cooler") == []
    assert book.put_back(WHERE, "over-temperature", None) == []


def test_what_was_found_about_a_vessel_out_of_service_stays_unsaid() -> None:
    book = AlarmBook("7", out_of_service=[OutOfService("fill-grams", None, "broken")])
    light = AlarmKey("fill-grams", 1, 3)
    book.raise_alarm(WHERE, light, VIOLATION)
    assert book.put_back(WHERE, "fill-grams", None) == []
    assert light not in book


def test_a_rule_goes_out_of_service_for_one_phase_alone() -> None:
    book = AlarmBook("7", out_of_service=[OutOfService("phase-order", "add fragrance", "as is")])
    assert book.raise_alarm(WHERE, ORDER, VIOLATION) == []
    other = phase_order(Phase.POUR, Phase.STIR)
    assert len(book.raise_alarm(WHERE, AlarmKey("phase-order", 1, subject="stir"), other)) == 1


def test_an_alarm_whose_rule_is_taken_out_asks_for_nothing_more() -> None:
    book = AlarmBook("7")
    book.raise_alarm(WHERE, HOT, TOO_HOT)
    assert book.unseen(HOT)
    book.take_out(OutOfService("over-temperature", None, "broken"))
    assert not book.unseen(HOT)
    assert HOT in book
    assert len(book.clear(WHERE, HOT, "cooler")) == 1


@pytest.mark.parametrize(
    ("out", "subject", "sentence"),
    [
        (None, None, "over-temperature is out of service already: broken"),
        (None, POT, "over-temperature is out of service already: broken"),
        (POT, POT, f"over-temperature of {POT} is out of service already: broken"),
    ],
)
def test_a_rule_is_taken_out_once(out: str | None, subject: str | None, sentence: str) -> None:
    book = AlarmBook("7", out_of_service=[OutOfService("over-temperature", out, "broken")])
    with pytest.raises(ConflictError, match=sentence):
        book.check_takes_out("over-temperature", subject)
    book.check_takes_out("fill-grams", subject)


def test_a_rule_that_is_out_for_one_channel_can_be_taken_out_for_all() -> None:
    book = AlarmBook("7", out_of_service=[OutOfService("over-temperature", POT, "broken")])
    book.check_takes_out("over-temperature", None)
    book.check_takes_out("over-temperature", PITCHER)


@pytest.mark.parametrize("subject", [None, "creek-pitcher"])
def test_a_rule_is_put_back_under_the_name_it_was_taken_out_by(subject: str | None) -> None:
    book = AlarmBook("7", out_of_service=[OutOfService("over-temperature", POT, "broken")])
    with pytest.raises(ConflictError, match=r"^over-temperature.* is not out of service"):
        book.check_puts_back("over-temperature", subject)
    book.check_puts_back("over-temperature", POT)


# ------------------------------------------------------------------ one cause, one alarm


def test_an_alarm_is_suppressed_while_its_instrument_is_silent() -> None:
    book = AlarmBook("7", {}, channels_of(POT, PITCHER))
    other = AlarmKey("over-temperature", subject=PITCHER)
    book.raise_alarm(WHERE, HOT, TOO_HOT)
    book.raise_alarm(WHERE, other, TOO_HOT)
    raised, suppressed = book.raise_alarm(WHERE, SILENT_POT, silence(POT))
    assert isinstance(raised, AlarmRaised)
    assert isinstance(suppressed, AlarmSuppressed)
    assert (suppressed.alarm, suppressed.by) == ("7.1", raised.alarm)
    _cleared, released = book.clear(WHERE, SILENT_POT, "reading again")
    assert isinstance(released, AlarmReleased)
    assert released.alarm == "7.1"
    assert book.suppressed == frozenset()


def test_a_suppressed_alarm_that_is_cleared_is_not_released_later() -> None:
    book = AlarmBook("7", {}, channels_of(POT))
    book.raise_alarm(WHERE, HOT, TOO_HOT)
    book.raise_alarm(WHERE, SILENT_POT, silence(POT))
    book.clear(WHERE, HOT, "the lot was closed")
    assert len(book.clear(WHERE, SILENT_POT, "reading again")) == 1


def test_what_is_known_of_a_moment_stands_when_the_instrument_falls_silent() -> None:
    book = AlarmBook("7", {}, channels_of(SCALE))
    book.raise_alarm(WHERE, AlarmKey("fill-grams", 1, 3), VIOLATION)
    assert len(book.raise_alarm(WHERE, SILENT_SCALE, silence(SCALE))) == 1


@pytest.mark.parametrize(
    ("key", "violation", "consequence"),
    [
        (SKIP, skipped_phase(Phase.ADD_FRAGRANCE, WORDS), True),
        (AlarmKey("skipped-phase", 1, subject="stir"), skipped_phase(Phase.STIR, WORDS), True),
        (AlarmKey("skipped-phase", 1, subject="pour"), skipped_vessels(3, 5), True),
        (ORDER, VIOLATION, True),
        # Nobody expects a scale to see these.
        (AlarmKey("skipped-phase", 1, subject="prepare"), skipped_phase("prepare", WORDS), False),
        (AlarmKey("skipped-phase", 1, subject="sift"), skipped_phase("sift", WORDS), False),
        (AlarmKey("over-temperature", subject=POT), over_temperature(POT, 1, 2, Display()), False),
    ],
)
def test_what_a_silent_scale_cannot_have_seen_is_part_of_its_silence(
    key: AlarmKey, violation: Violation, *, consequence: bool
) -> None:
    for silent, folds in ((SILENT_SCALE, consequence), (SILENT_POT, False)):
        book = AlarmBook("7", {}, channels_of(POT, SCALE))
        book.raise_alarm(WHERE, silent, silence(silent.subject or ""))
        raised, *folded = book.raise_alarm(WHERE, key, violation)
        assert isinstance(raised, AlarmRaised)
        assert [(f.alarm, f.into) for f in folded if isinstance(f, AlarmFolded)] == (
            [("7.2", "7.1")] if folds else []
        )
        assert (key in book) is not folds


def test_what_comes_once_the_scale_reads_again_stands_for_itself() -> None:
    book = AlarmBook("7", {}, channels_of(SCALE))
    book.raise_alarm(WHERE, SILENT_SCALE, silence(SCALE))
    book.clear(WHERE, SILENT_SCALE, "reading again")
    assert len(book.raise_alarm(WHERE, ORDER, VIOLATION)) == 1
