"""How a target stands, in a sentence."""

from collector.notices.state import Outcome, TargetState

REASON = "Connection error ([Errno 111] Connection refused)."


def test_a_target_that_nothing_was_sent_to_is_not_tried_yet() -> None:
    state = TargetState("mailto mail.example.org")
    assert state.working
    assert state.sentence == "Notices: mailto mail.example.org is not tried yet."


def test_a_failure_says_why_and_how_much_waits_until_something_gets_through() -> None:
    state = TargetState("json hook.example.org", waiting=2).failed_for(REASON, 5)
    assert not state.working
    assert state.sentence == (
        f"Notices do not get through to json hook.example.org: {REASON} 2 messages wait."
    )
    empty = TargetState("json hook.example.org").failed_for(REASON, 5)
    assert empty.sentence.endswith(" Put that right and send a test from the page /notices.")
    again = state.failed_for("There is no route.", 9)
    assert (again.failed, again.failed_us, again.trouble_us) == (2, 9, 5)
    well = again.got_through(11)
    assert well.working
    assert (well.sent, well.sent_us, well.trouble_us) == (1, 11, None)
    assert well.failure == "There is no route."
    assert well.sentence == "Notices: json hook.example.org gets what is sent."


def test_what_was_given_up_is_said_also_when_all_is_well_again() -> None:
    state = TargetState("json hook.example.org", lost=1).got_through(11)
    assert state.sentence.endswith(" 1 message could not be sent at all.")


def test_the_latest_test_is_kept() -> None:
    state = TargetState("json").tested(Outcome.UNDER_WAY, 3, None).tested(Outcome.FAILED, 4, REASON)
    assert state.test is not None
    assert (state.test.outcome, state.test.at_us, state.test.reason) == ("failed", 4, REASON)
