"""Readings a second, from counts."""

import pytest

from collector.seen_rate import SPAN_S, SeenRate


def test_nothing_is_told_before_there_are_two_looks() -> None:
    seen = SeenRate()
    assert seen.per_second("jug") is None
    seen.look(0.0, {"jug": 5})
    assert seen.per_second("jug") is None


def test_the_rate_is_that_of_the_last_seconds() -> None:
    seen = SeenRate()
    for second in range(101):
        seen.look(float(second), {"jug": min(second, 50) * 10, "scale": second * 2})
    assert seen.per_second("scale") == pytest.approx(2.0)
    assert seen.per_second("jug") == 0.0, "it fell silent at 50 s"
    assert seen.per_second("nobody") == 0.0


def test_looking_often_keeps_little() -> None:
    seen = SeenRate()
    for moment in range(10_000):
        seen.look(moment * 0.01, {"jug": moment})
    assert seen.per_second("jug") == pytest.approx(100.0)
    assert len(seen._looks) <= SPAN_S + 2
