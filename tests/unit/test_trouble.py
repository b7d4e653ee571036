from collector.trouble import Trouble

FULL = "the disk is full."


def test_a_trouble_says_for_how_long_memory_holds_what_comes() -> None:
    trouble = Trouble(FULL, since_s=0.0, waiting=1_600, room=57_600, rate_hz=16.0)
    assert trouble.left_us == 3_600_000_000
    assert (
        trouble.sentence == f"{FULL} Collection goes on in memory, which holds about 60 min more."
    )


def test_at_the_first_refusal_nobody_knows_how_much_comes() -> None:
    trouble = Trouble(FULL, since_s=0.0, waiting=0, room=57_600)
    assert trouble.left_us is None
    assert trouble.sentence == f"{FULL} Collection goes on in memory."


def test_lost_readings_are_said_instead() -> None:
    trouble = Trouble(FULL, since_s=0.0, waiting=9, room=0, lost=1_000, rate_hz=2.0)
    assert trouble.sentence.endswith("Memory is full: the oldest 1000 readings are lost already.")
