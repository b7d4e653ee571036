"""How much comes in one go: to the mark, a part of it, too much, a second time."""

import pytest
from scale_steps import FRAGRANCE, addition_of, case_of, mg, us

from collector.chances import Stretch, cost_beyond, cost_of
from collector.expectations import Expectation
from collector.goes import FILL_HAND, FRAGRANCE_HAND, WAX_HAND, Hand, again, goes, sudden

CASE = case_of()
HANDS = [
    (Expectation(mg(616.7), mg(12.3)), WAX_HAND),
    (Expectation(mg(49.3), mg(1.2)), FRAGRANCE_HAND),
    (Expectation(mg(220), mg(2)), FILL_HAND),
]
WAX_TARGET, FRAGRANCE_TARGET, FILL_TARGET = (expected for expected, _ in HANDS)


@pytest.mark.parametrize(("expected", "hand"), HANDS)
def test_all_of_it_is_likelier_than_any_part(expected: Expectation, hand: Hand) -> None:
    mixture = goes(expected, 0, hand, CASE)
    to_the_mark = cost_of(mixture, expected.target_mg)
    parts = [cost_of(mixture, share * expected.target_mg) for share in (0.1, 0.5, 0.7, 0.9)]
    assert to_the_mark + 1.0 < min(parts)


@pytest.mark.parametrize(("expected", "hand"), HANDS)
def test_the_rest_is_what_the_mark_still_lacks(expected: Expectation, hand: Hand) -> None:
    had_mg = expected.target_mg * 6 // 10
    rest_mg = expected.target_mg - had_mg
    mixture = goes(expected, had_mg, hand, CASE)
    assert cost_of(mixture, rest_mg) < cost_of(mixture, 0.5 * rest_mg)
    assert cost_of(mixture, rest_mg) + 3.0 < cost_of(mixture, expected.target_mg)


@pytest.mark.parametrize(("expected", "hand"), HANDS)
def test_a_little_too_much_is_likelier_than_half_as_much_again(
    expected: Expectation, hand: Hand
) -> None:
    mixture = goes(expected, 0, hand, CASE)
    little, much, double = (cost_of(mixture, f * expected.target_mg) for f in (1.06, 1.4, 2.0))
    assert cost_of(mixture, expected.target_mg) < little < much < double


@pytest.mark.parametrize(("expected", "hand"), HANDS)
def test_after_the_mark_more_is_unlikely_and_the_unlikelier_the_longer_it_rested(
    expected: Expectation, hand: Hand
) -> None:
    more_mg = 0.04 * expected.target_mg
    rest_mg = expected.target_mg * 2 / 10
    rest = cost_of(goes(expected, expected.target_mg * 8 // 10, hand, CASE), rest_mg)
    costs = [
        cost_of(goes(expected, expected.target_mg, hand, CASE, rested_s), more_mg)
        for rested_s in (1.0, 2.0, 3.0)
    ]
    assert rest + 1.0 < costs[0] < costs[1] < costs[2]


def test_a_ladle_after_the_mark_is_never_held_for_likely() -> None:
    mixture = goes(WAX_TARGET, WAX_TARGET.target_mg, WAX_HAND, CASE, 0.0)
    assert cost_beyond(mixture, 0) > 1.0  # a chance of less than a third


def test_past_the_mark_more_is_the_unlikelier_the_longer_it_was_seen() -> None:
    had_mg = mg(650)
    costs = [
        cost_of(goes(WAX_TARGET, had_mg, WAX_HAND, CASE, rested_s), mg(20))
        for rested_s in (1.0, 6.0, 12.0)
    ]
    assert costs[0] < costs[1] < costs[2]


def test_who_is_past_the_mark_pours_on_rather_than_who_has_met_it() -> None:
    past = goes(WAX_TARGET, mg(650), WAX_HAND, CASE, 2.0)
    met = goes(WAX_TARGET, mg(616.7), WAX_HAND, CASE, 2.0)
    assert cost_of(past, mg(20)) < cost_of(met, mg(20))


def test_a_coarse_scale_shows_a_mark_that_was_met_less_sharply() -> None:
    fine = goes(FRAGRANCE_TARGET, 0, FRAGRANCE_HAND, case_of(division_g=0.1))
    coarse = goes(FRAGRANCE_TARGET, 0, FRAGRANCE_HAND, case_of(division_g=2.0))
    assert cost_of(coarse, mg(48)) < cost_of(fine, mg(48))
    assert cost_of(fine, mg(49.3)) < cost_of(coarse, mg(49.3))


def test_what_comes_at_once_is_about_all_of_it_and_seldom_a_part() -> None:
    poured = goes(WAX_TARGET, 0, WAX_HAND, CASE)
    at_once = sudden(poured, WAX_TARGET.target_mg, 0)
    assert cost_of(at_once, mg(590)) < cost_of(poured, mg(590))
    assert cost_of(at_once, mg(200)) > cost_of(poured, mg(200)) + 1.0


def test_the_last_bit_that_comes_at_once_is_not_held_for_a_whole_pitcher() -> None:
    had_mg = mg(500)
    poured = goes(WAX_TARGET, had_mg, WAX_HAND, CASE)
    at_once = sudden(poured, WAX_TARGET.target_mg, had_mg)
    assert cost_of(at_once, mg(50)) > cost_of(poured, mg(50)) + 1.0
    assert cost_of(at_once, mg(580)) >= cost_of(poured, mg(580))


# ---------------------------------------------------------------- a second helping


def cost_again(had_g: float, more_g: float, after_s: float) -> float:
    had = addition_of(FRAGRANCE, had_g, gone_s=10)
    return cost_of(again(FRAGRANCE_TARGET, had, us(10 + after_s), CASE), mg(more_g))


def test_fragrance_that_is_short_gets_its_rest_before_it_gets_a_second_helping() -> None:
    assert cost_again(30.0, 19.3, 5) + 1.0 < cost_again(30.0, 49.3, 5)


def test_the_rest_of_the_fragrance_comes_soon_rather_than_late() -> None:
    assert cost_again(30.0, 19.3, 5) < cost_again(30.0, 19.3, 60)


def test_a_little_more_than_the_rest_may_come_as_well() -> None:
    over, far_over = cost_again(30.0, 22.0, 5), cost_again(30.0, 27.0, 5)
    assert cost_again(30.0, 19.3, 5) < over < far_over
    coarse = case_of(division_g=2.0)
    had = addition_of(FRAGRANCE, 30.0, gone_s=10)
    assert cost_of(again(FRAGRANCE_TARGET, had, us(15), coarse), mg(22.0)) < over


def test_a_drop_is_larger_on_a_coarse_scale() -> None:
    had = addition_of(FRAGRANCE, 49.3, gone_s=10)
    fine, coarse = (
        cost_of(again(FRAGRANCE_TARGET, had, us(15), case_of(division_g=division_g)), mg(4))
        for division_g in (0.1, 2.0)
    )
    assert coarse + 1.0 < fine


@pytest.mark.parametrize(("expected", "hand"), HANDS)
def test_who_means_to_stop_short_may_still_come_a_little_over(
    expected: Expectation, hand: Hand
) -> None:
    had_mg = expected.target_mg // 2
    rest_mg = expected.target_mg - had_mg
    mixture = goes(expected, had_mg, hand, CASE)
    sharp_mg = max(hand.share * expected.target_mg, hand.least_mg)
    up_to_it = [part for part in mixture if isinstance(part, Stretch) and part.low_mg < rest_mg]
    assert {part.high_mg for part in up_to_it} == {rest_mg + sharp_mg}
    beyond = [part for part in mixture if isinstance(part, Stretch) and part.low_mg >= rest_mg]
    assert len(beyond) == 2
    assert all(part.high_mg > rest_mg for part in beyond)


def test_past_the_mark_some_moments_tell_nothing_yet() -> None:
    costs = [
        cost_of(goes(WAX_TARGET, mg(650), WAX_HAND, CASE, rested_s), mg(20))
        for rested_s in (0.2, 1.4, 2.4)
    ]
    assert costs[0] == costs[1] < costs[2]


def test_a_second_helping_is_as_much_as_the_first() -> None:
    assert cost_again(49.3, 49.3, 60) + 1.0 < cost_again(49.3, 30.0, 60)
    assert cost_again(49.3, 49.3, 60) + 1.0 < cost_again(49.3, 70.0, 60)


def test_a_drop_comes_soon_after_the_fragrance_or_hardly_at_all() -> None:
    assert cost_again(49.3, 1.5, 5) + 1.0 < cost_again(49.3, 1.5, 60)
    assert cost_again(49.3, 1.5, 5) < cost_again(49.3, 49.3, 5)


def test_a_second_helping_that_stopped_halfway_goes_on() -> None:
    assert cost_again(75.0, 23.6, 5) + 1.0 < cost_again(75.0, 45.0, 5)


def test_a_part_of_a_vessel_is_likelier_the_more_of_it_comes() -> None:
    mixture = goes(FILL_TARGET, 0, FILL_HAND, CASE)
    assert cost_of(mixture, mg(150)) < cost_of(mixture, mg(40))
