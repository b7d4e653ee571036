from collector.sender_state import SenderState, Sending


def test_a_sender_that_gets_through_says_what_it_does() -> None:
    state = SenderState("influx", Sending.UP_TO_DATE)
    assert state.working
    assert state.sentence == "Sending to influx: up to date."


def test_what_was_refused_is_said_although_the_rest_gets_through() -> None:
    state = SenderState("influx", Sending.UP_TO_DATE, refused=3)
    assert state.working
    assert state.sentence.endswith("3 points were refused there: GET /api/outbox shows them.")


def test_one_that_does_not_get_through_says_why_and_what_waits() -> None:
    state = SenderState("influx", Sending.AWAY, waiting=7, reason="The server does not answer.")
    assert not state.working
    assert state.sentence == "The server does not answer. 7 commits wait to be sent."
