"""Feeds by somebody who knows no simulator: exactly the planted deviations, and on time.

Every style of working meets every fault, every kind of scale and every sort of hand.
"""

from dataclasses import replace

import pytest
from feed_script import Found, Instrument
from stranger_checks import LATEST_US, NEXT_MOVE_US, check
from stranger_round import TIN, Plan
from stranger_styles import STYLES

Fault = tuple[Plan, list[Found]]

FAULTS: dict[str, Fault] = {
    "nothing wrong": (Plan(), []),
    "fragrance too cool": (Plan(add_c=74.0), [("fragrance-temperature", 1, None)]),
    "fragrance too hot": (Plan(add_c=90.0), [("fragrance-temperature", 1, None)]),
    "too little fragrance": (Plan(fragrance_share=0.85), [("fragrance-grams", 1, None)]),
    "too much fragrance": (Plan(fragrance_share=1.15), [("fragrance-grams", 1, None)]),
    "fragrance twice": (Plan(fragrance_goes=2), [("fragrance-grams", 1, None)]),
    "fragrance skipped": (
        Plan(skips_fragrance=True, stir_s=20.0, marks=False),
        [("skipped-phase", 1, None)],
    ),
    "stirred too short": (Plan(stir_s=70.0), [("stir-duration", 1, None)]),
    "stir skipped": (Plan(stir_s=0.0), [("skipped-phase", 1, None)]),
    "pour too hot": (Plan(pour_c=70.0), [("pour-temperature", 1, None)]),
    "pour too cold": (Plan(pour_c=52.0), [("pour-temperature", 1, None)]),
    "a light vessel": (Plan(fill_off_g={2: -7.0}), [("fill-grams", 1, 2)]),
    "a heavy vessel": (Plan(fill_off_g={3: 6.5}), [("fill-grams", 1, 3)]),
    "a vessel left out": (Plan(left_out=(3,)), [("skipped-phase", 1, None)]),
    "wax short": (Plan(wax_off_g=-40.0), [("wax-grams", 1, None)]),
    "too much wax": (Plan(wax_off_g=30.0), [("wax-grams", 1, None)]),
    "stir marked early": (Plan(marks_early=True), [("phase-order", 1, None)]),
}

AT_ONCE = {"wax_s": 0.0, "fragrance_s": 0.0, "fill_s": 0.0}
WAYS = {"poured": {}, "at once": AT_ONCE, "in two pitchers": {"vessels": 12}}
IN_TWO = ("fragrance too cool", "fragrance skipped", "stir skipped", "a vessel left out")


# Where no pitcher shows, some things look alike, and no test pretends otherwise:
# the next pitcher's wax and a fill that follows one left out;
# a second helping after a tare, all at once, and a vessel put down.
UNSEEN = [style for style in STYLES if style.startswith("no container")]
UNSEEN_WHOLLY = [style for style in UNSEEN if style != "no container in sight but the vessels"]
TARED_UNSEEN = "no container in sight, tared before the fragrance"
TARED_SEEN = ("tared before the fragrance", "tared only before the fragrance")
ALIKE = {(style, "a vessel left out", "in two pitchers") for style in UNSEEN}
ALIKE |= {(TARED_UNSEEN, "fragrance twice", "at once")}

# Two explanations are about as likely, and no mass or temperature tells them apart; the next move
# does: wax short or too much that appears at once on a scale that showed nothing yet, or an empty
# pitcher; fragrance off its target at once on a display that went to zero, or a beaker put there;
# fragrance into cool wax on a display gone to zero, or the first fill of a vessel, till it rests;
# the first fill of a large pitcher that nobody saw, or its fragrance.
NEXT_MOVE = (
    {(style, fault, "at once") for style in UNSEEN for fault in ("wax short", "too much wax")}
    | {
        (style, fault, "at once")
        for style in (TARED_UNSEEN, "tared only before the fragrance")
        for fault in ("too little fragrance", "too much fragrance")
    }
    | {(style, "fragrance twice", "at once") for style in TARED_SEEN}
    | {(style, "stir skipped", "in two pitchers") for style in UNSEEN_WHOLLY}
    | {(TARED_UNSEEN, "fragrance too cool", "in two pitchers")}
)
CASES = [
    (style, fault, way)
    for style in STYLES
    for fault in FAULTS
    for way in WAYS
    if (style, fault, way) not in ALIKE and (way != "in two pitchers" or fault in IN_TWO)
]


@pytest.mark.parametrize(("style", "fault", "way"), CASES)
def test_a_style_of_working_shows_what_was_planted(style: str, fault: str, way: str) -> None:
    plan, expected = FAULTS[fault]
    plan = replace(plan, **WAYS[way])  # type: ignore[arg-type]  # the table names Plan's fields
    if plan.vessels > 6:  # what befalls the pitcher befalls both
        expected = [*expected, *((r, 2, v) for r, _, v in expected if v is None)]
    if plan.left_out:
        expected = [("skipped-phase", 1 + plan.vessels // 7, None)]
    latest_us = NEXT_MOVE_US if (style, fault, way) in NEXT_MOVE else LATEST_US
    check(STYLES[style], plan, expected, Instrument(), latest_us)


UNMARKED = ("nothing wrong", "stirred too short", "stir skipped", "pour too cold")


@pytest.mark.parametrize(
    ("style", "fault", "way"),
    [case for case in CASES if case[1] in UNMARKED and case[2] in ("poured", "at once")],
)
def test_a_style_without_marks_shows_what_was_planted(style: str, fault: str, way: str) -> None:
    plan, expected = FAULTS[fault]
    plan = replace(plan, marks=False, **WAYS[way])  # type: ignore[arg-type]  # as above
    check(STYLES[style], plan, expected, Instrument())


INSTRUMENTS = {
    "twice a second": Instrument(rate_hz=2),
    "ten a second": Instrument(rate_hz=10),
    "whole grams": Instrument(division_g=1.0),
    "whole grams, twice a second": Instrument(rate_hz=2, division_g=1.0),
    "half grams": Instrument(division_g=0.5),
    "centigrams": Instrument(division_g=0.01),
    "restless": Instrument(noise_divisions=1),
    "restless, twice a second": Instrument(rate_hz=2, noise_divisions=1),
    "restless, ten a second": Instrument(rate_hz=10, noise_divisions=1),
    "restless whole grams": Instrument(division_g=1.0, noise_divisions=1),
    "restless whole grams, ten a second": Instrument(10, 1.0, 1),
    "slow to follow": Instrument(lag_s=0.2),
    "slow to follow, ten a second": Instrument(10, lag_s=0.2),
    "says when it moves": Instrument(tells_motion=True),
    "says when it moves, twice a second": Instrument(rate_hz=2, tells_motion=True),
    "says when it moves, ten restless a second": Instrument(10, 0.1, 1, tells_motion=True),
}


@pytest.mark.parametrize("instrument", INSTRUMENTS)
@pytest.mark.parametrize("style", STYLES)
def test_a_kind_of_scale_shows_what_was_planted(style: str, instrument: str) -> None:
    plan = Plan(vessels=6, add_c=75.0, fill_off_g={2: -8.0})
    expected: list[Found] = [("fragrance-temperature", 1, None), ("fill-grams", 1, 2)]
    check(STYLES[style], plan, expected, INSTRUMENTS[instrument])


HANDS = {
    "all at once": Plan(wax_s=0, fragrance_s=0, fill_s=0),
    "all but the fills at once": Plan(wax_s=0, fragrance_s=0),
    "fills at once": Plan(fill_s=0),
    "fragrance at once": Plan(fragrance_s=0),
    "a slow hand": Plan(wax_s=50, fragrance_s=20, fill_s=14),
    "a quick hand": Plan(wax_s=5, fragrance_s=2, fill_s=3, pause_s=2),
    "long pauses": Plan(pause_s=5),
    "without marks": Plan(marks=False),
    "without marks, all at once": Plan(wax_s=0, fragrance_s=0, fill_s=0, marks=False),
    "the last vessel stays": Plan(lifts_last=False),
    "the last vessel stays, all at once": Plan(wax_s=0, fragrance_s=0, fill_s=0, lifts_last=False),
    "one vessel": Plan(vessels=1),
    "twelve vessels": Plan(vessels=12),
    "twelve vessels at once": Plan(vessels=12, wax_s=0, fragrance_s=0, fill_s=0),
    "vessels as heavy as a fill": Plan(vessel_g=221.0),
    "vessels about as heavy as a fill": Plan(vessel_g=205.0),
    "heavy vessels": Plan(vessel_g=410.0),
    "tins": Plan(vessel_g=38.0),
    "load of the total": Plan(recipe=TIN, vessels=4),
    "load of the total, without marks": Plan(recipe=TIN, vessels=4, marks=False),
    "two small pitchers": Plan(recipe=TIN, vessels=9),
    "two small pitchers without marks": Plan(recipe=TIN, vessels=9, marks=False),
}


# Where neither vessels nor pouring shows, a fill off its target is a vessel put there as well, and
# fragrance that comes at once on a display gone to zero is a beaker.
ALIKE_HANDS = {
    (style, hand)
    for style in UNSEEN_WHOLLY
    for hand in ("fills at once", "the last vessel stays, all at once")
}
ALIKE_HANDS |= {(TARED_UNSEEN, "fragrance at once")}
HAND_CASES = [
    (style, hand) for style in STYLES for hand in HANDS if (style, hand) not in ALIKE_HANDS
]


@pytest.mark.parametrize(("style", "hand"), HAND_CASES)
def test_a_light_and_a_heavy_vessel_show_whatever_the_hand(style: str, hand: str) -> None:
    plan = HANDS[hand]
    last = plan.vessels
    planted = {1: -6.0, last: 5.0} if last > 1 else {1: -6.0}
    pitchers = {1: 1, last: 2 if plan.recipe is TIN and last == 9 else 1 + last // 7}
    expected: list[Found] = [("fill-grams", pitchers[vessel], vessel) for vessel in planted]
    check(STYLES[style], replace(plan, fill_off_g=planted), expected, Instrument())
