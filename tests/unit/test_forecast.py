"""How long until a temperature: the textbook's law, and coolings drawn at random.

OpenStax, Calculus Volume 2, section 2.8: worked examples of Newton's law of cooling.
"""

import math
from collections.abc import Iterator

import pytest
from curves_made import cooling_curve
from random_coolings import CoolingDrawn, coolings

from collector.forecast import Laws, Span, Why, fit_laws
from collector.trace import Trace, latest_piece

SECOND = 1_000_000
VERIFYING_SEED = 90_000  # the wanders were set on seeds from 1,000 on
MANY = 200


def fitted(points: Iterator[tuple[float, int]], now_s: float, room: int | None) -> Laws | Why:
    trace = Trace()
    for second, mdegc in points:
        trace.feed(round(second * SECOND), mdegc)
    return fit_laws(latest_piece(trace.curve(round(now_s * SECOND))), room)


def until(points: Iterator[tuple[float, int]], now_s: float, room: int | None, to: int) -> Span:
    laws = fitted(points, now_s, room)
    assert isinstance(laws, Laws)
    span = laws.until(to)
    assert isinstance(span, Span)
    return span


def fahrenheit(degrees: float) -> float:
    return (degrees - 32) * 5 / 9


Book = tuple[float, float, float, float]


@pytest.mark.parametrize(
    ("cup", "target", "reached"),
    [
        # coffee 200 -> 180 °F in 2 min in a room of 70 °F
        ((200, 180, 2, 70), 155, 5.09),
        # coffee 200 -> 185 °F in 2 min in a room of 75 °F; printed 7
        ((200, 185, 2, 75), 155, 6.982),
        # pizza 200 -> 190 °F in 1 min in a room of 75 °F; printed 6.12
        ((200, 190, 1, 75), 150, 6.126),
    ],
)
def test_the_interval_holds_the_time_of_the_book(cup: Book, target: float, reached: float) -> None:
    start, after, minutes, ambient = cup
    rate = math.log((start - ambient) / (after - ambient)) / (minutes * 60)
    room = fahrenheit(ambient)
    points = (
        (s, round(1000 * (room + (fahrenheit(start) - room) * math.exp(-rate * s))))
        for s in range(181)
    )
    span = until(points, 180, round(room * 1000), round(fahrenheit(target) * 1000))
    left = (reached - 3) * 60 * SECOND
    assert span.soonest_us <= left <= span.latest_us
    assert span.likely_us == pytest.approx(left, rel=0.02)


def half_way(drawn: CoolingDrawn) -> tuple[Span | Why, float]:
    """The service's span at half way, and the seconds that it really took from there."""
    trace, now_s = Trace(), drawn.half_way_s
    for second, mdegc in drawn.shown:
        if second <= now_s:
            trace.feed(round(second * SECOND), mdegc)
    room = next((mdegc for second, mdegc in reversed(drawn.room) if second <= now_s), None)
    curve = trace.curve(round(now_s * SECOND))
    laws = fit_laws(latest_piece(curve), room)
    left_s = drawn.passed_s - curve.at_us / SECOND
    return (laws if isinstance(laws, Why) else laws.until(drawn.target_mdegc)), left_s


def test_nine_in_ten_random_coolings_lie_in_their_interval_and_it_is_narrow() -> None:
    held = narrow = 0
    for drawn in coolings(VERIFYING_SEED, MANY):
        span, left_s = half_way(drawn)
        assert isinstance(span, Span)
        held += span.soonest_us <= left_s * SECOND <= span.latest_us
        narrow += (span.latest_us - span.soonest_us) <= 0.25 * span.likely_us
    assert 0.85 <= held / MANY <= 0.95
    assert narrow == MANY


def test_right_after_a_disturbance_a_lagging_probe_is_not_believed_too_much() -> None:
    short = [d for d in coolings(VERIFYING_SEED, MANY) if d.passed_s - d.began_s < 300]
    held = 0
    for drawn in short:
        span, left_s = half_way(drawn)
        assert isinstance(span, Span)
        held += span.soonest_us <= left_s * SECOND <= span.latest_us
    assert len(short) >= 20
    # A fair nine in ten fall lower than this once in twenty; without the tail in the fit it did.
    assert held / len(short) >= 0.8


def test_an_interval_that_is_a_third_as_wide_would_be_seen_to_fail() -> None:
    """The check above can fail."""
    held = 0
    for drawn in coolings(VERIFYING_SEED, MANY):
        span, left_s = half_way(drawn)
        assert isinstance(span, Span)
        held += abs(left_s * SECOND - span.likely_us) * 6 <= span.latest_us - span.soonest_us
    assert held / MANY < 0.85


def test_the_interval_narrows_as_the_temperature_comes_nearer() -> None:
    ends = [until(cooling_curve(4e-4, now), now, 22_000, 63_000) for now in (200, 500, 900)]
    widths = [end.latest_us - end.soonest_us for end in ends]
    assert widths == sorted(widths, reverse=True)


def test_an_unknown_room_makes_a_wider_interval_than_a_known_one() -> None:
    known = until(cooling_curve(4e-4, 200), 200, 22_000, 55_000)
    unknown = until(cooling_curve(4e-4, 200), 200, None, 55_000)
    assert known.latest_us - known.soonest_us < unknown.latest_us - unknown.soonest_us


def test_a_temperature_below_the_room_is_never_reached() -> None:
    laws = fitted(cooling_curve(4e-4, 600), 600, 22_000)
    assert isinstance(laws, Laws)
    assert laws.until(21_000) is Why.NEVER
    assert laws.until(90_000) is Why.NEVER


def test_a_short_piece_gives_no_forecast() -> None:
    assert fitted(cooling_curve(4e-4, 30), 30, 22_000) is Why.TOO_SHORT


def test_warming_wax_is_followed_straight_on_and_with_more_doubt() -> None:
    # 3 °C a minute: from 60 °C at the start to 75 °C after 300 s, 80 °C after 400 s.
    points = ((s, 60_000 + 50 * s) for s in range(301))
    span = until(points, 300, 22_000, 80_000)
    assert span.likely_us == pytest.approx(100 * SECOND, rel=0.05)
    assert span.latest_us - span.soonest_us > 0.1 * span.likely_us


def test_the_same_curve_gives_the_same_span() -> None:
    one, other = (until(cooling_curve(4e-4, 400), 400, None, 60_000) for _ in range(2))
    assert one == other
