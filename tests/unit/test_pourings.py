"""What can be poured into what stands on the scale, and how likely each is."""

import msgspec
import pytest
from pouring_scenes import (
    SCENT_KEY,
    TIP_KEY,
    WAX_KEY,
    beaker_on,
    by_key,
    cost,
    vessel_on,
    with_fragrance,
    with_wax,
)
from scale_steps import (
    FILL,
    FRAGRANCE,
    WAX,
    addition_of,
    case_of,
    mg,
    plateau,
    step,
    us,
)

from collector.additions import Key
from collector.case import Warmth
from collector.expectations import Stage
from collector.pourings import (
    cost_of_rise,
    cost_while_rising,
    poured,
    pours,
)
from collector.scene import Habits, Load, Masses, Scene
from collector.weighings import Motion

# ---------------------------------------------------------------- into the pitcher


def test_into_an_empty_pitcher_comes_wax_and_nothing_else() -> None:
    scene = Scene(Load.PITCHER, mg(-310), 0)
    assert set(by_key(scene, 10, case_of())) == {WAX_KEY}


def test_right_after_a_ladle_comes_another_ladle() -> None:
    short = with_wax(400.0)
    assert cost(short, WAX_KEY, 12) + 2.0 < cost(short, SCENT_KEY, 12)


def test_minutes_after_the_wax_comes_fragrance() -> None:
    assert cost(with_wax(), SCENT_KEY, 310) + 2.0 < cost(with_wax(), WAX_KEY, 310)


def test_the_shorter_the_wax_the_less_is_it_left_for_the_fragrance() -> None:
    costs = [cost(with_wax(grams), SCENT_KEY, 130) for grams in (616.7, 600.0, 500.0, 250.0)]
    assert costs == sorted(costs)
    assert costs[-1] > costs[0] + 4.0


def test_between_wax_and_fragrance_the_bottle_is_taken_up() -> None:
    costs = [cost(with_wax(), SCENT_KEY, 10 + after_s) for after_s in (0.5, 1.5, 4.0)]
    assert costs[0] > costs[1] > costs[2]


def test_wax_that_is_off_its_mark_is_left_later_than_wax_that_is_on_it() -> None:
    gains = [
        cost(with_wax(grams), SCENT_KEY, 12) - cost(with_wax(grams), SCENT_KEY, 18)
        for grams in (616.7, 607.6)  # both near enough for nothing to be short
    ]
    assert gains[1] > gains[0] + 0.3


def test_wax_that_was_poured_to_a_mark_seldom_goes_on() -> None:
    ladled = with_wax(580.0)
    drawn = addition_of(WAX, 580.0, gone_s=10.0)
    trimmed = ladled.but(open=msgspec.structs.replace(drawn, trimmed=True))
    assert cost(trimmed, WAX_KEY, 20) > cost(ladled, WAX_KEY, 20) + 0.5
    assert cost(trimmed, SCENT_KEY, 20) < cost(ladled, SCENT_KEY, 20) - 0.5


def test_only_the_time_since_the_wax_tells_what_comes_next() -> None:
    early, late = with_wax(gone_s=10), with_wax(gone_s=1_000)
    for key in (WAX_KEY, SCENT_KEY):
        assert cost(early, key, 15) == pytest.approx(cost(late, key, 1_005))


def test_after_a_mark_of_the_fragrance_no_more_wax_is_expected() -> None:
    marked = with_wax(500.0).but(scent_marked=True)
    assert cost(marked, WAX_KEY, 14) > cost(with_wax(500.0), WAX_KEY, 14) + 2.0
    assert cost(marked, SCENT_KEY, 14) == cost(with_wax(500.0), SCENT_KEY, 14)


@pytest.mark.parametrize("warmth", [Warmth.HOT, Warmth.BETWEEN, Warmth.POUR])
def test_fragrance_out_of_its_window_costs_more(warmth: Warmth) -> None:
    within = cost(with_wax(), SCENT_KEY, 130, case_of(warmth=Warmth.ADD))
    assert cost(with_wax(), SCENT_KEY, 130, case_of(warmth=warmth)) > within + 1.0


def test_wax_that_has_cooled_is_seldom_topped_up() -> None:
    hot = cost(with_wax(500.0), WAX_KEY, 130, case_of(warmth=Warmth.HOT))
    assert cost(with_wax(500.0), WAX_KEY, 130, case_of(warmth=Warmth.POUR)) > hot + 1.0


def test_more_wax_to_the_fragrance_is_expected_where_there_is_too_much_of_it() -> None:
    enough, too_much = with_fragrance(49.3), with_fragrance(60.0)
    assert cost(too_much, WAX_KEY, 100) + 2.0 < cost(enough, WAX_KEY, 100)


def test_the_fragrance_target_is_that_of_the_wax_really_drawn() -> None:
    scent = by_key(with_wax(600.0), 130, case_of())[SCENT_KEY]
    assert scent.target_mg == mg(48.0)  # 8 % of 600 g


def test_into_the_pitcher_of_a_pour_nothing_comes() -> None:
    assert by_key(with_fragrance().but(stage=Stage.POUR), 200, case_of()) == {}


def test_onto_a_thing_nothing_is_poured() -> None:
    under = with_wax()
    assert by_key(under.but(load=Load.THING, under=under), 30, case_of()) == {}


# ---------------------------------------------------------------- fragrance apart


def test_into_a_beaker_comes_fragrance_that_is_apart() -> None:
    (scent,) = pours(beaker_on(), us(60), case_of())
    assert (scent.key, scent.after, scent.apart) == (SCENT_KEY, Load.BEAKER, True)
    move = step(64.0, 113.3, at_s=60, took_s=8)
    after = poured(beaker_on(), scent, move)
    assert (after.apart_mg, after.fragrance_mg, after.stage) == (mg(49.3), mg(49.3), Stage.BLEND)
    assert after.in_pitcher_mg == mg(616.7)


def test_what_was_weighed_apart_is_tipped_in() -> None:
    apart = (
        with_wax()
        .closed()
        .but(
            made=(*with_wax().closed().made, addition_of(FRAGRANCE, 49.3, apart=True)),
            apart_mg=mg(49.3),
            stage=Stage.BLEND,
            load=Load.PITCHER,
        )
    )
    case = case_of()
    tip = by_key(apart, 90, case)[TIP_KEY]
    move = step(616.7, 666.0, at_s=90, took_s=3)
    others = [pour for pour in pours(apart, us(90), case) if pour.key != TIP_KEY]
    assert cost_of_rise(tip, move, case) + 1.0 < min(
        cost_of_rise(pour, move, case) for pour in others
    )
    after = poured(apart, tip, move)
    assert (after.apart_mg, after.fragrance_mg) == (0, mg(49.3))
    assert after.in_pitcher_mg == mg(666.0)


def test_a_part_of_it_tipped_in_leaves_the_rest_apart() -> None:
    apart = with_wax().but(apart_mg=mg(49.3))
    tip = by_key(apart, 90, case_of())[TIP_KEY]
    assert poured(apart, tip, step(616.7, 646.7, at_s=90, took_s=3)).apart_mg == mg(19.3)


def test_where_nothing_is_apart_nothing_is_tipped_in() -> None:
    assert TIP_KEY not in by_key(with_wax(), 90, case_of())


# ---------------------------------------------------------------- fills


def test_a_fill_goes_into_the_vessel_that_stands_there() -> None:
    scene = vessel_on(with_fragrance()).but(filled=1)
    (fill,) = pours(scene, us(200), case_of())
    assert (fill.key, fill.target_mg) == (Key(FILL, 1, 2), mg(220))
    after = poured(scene, fill, step(180, 400, at_s=200, took_s=8))
    assert (after.filled, after.stage, after.in_container_mg) == (2, Stage.POUR, mg(220))
    assert after.habits.on_scale


@pytest.mark.parametrize("warmth", [Warmth.HOT, Warmth.ADD, Warmth.BETWEEN])
def test_a_fill_costs_more_while_the_wax_is_hotter_than_its_pour_window(warmth: Warmth) -> None:
    scene, key = vessel_on(with_fragrance()), Key(FILL, 1, 1)
    ready = cost(scene, key, 400, case_of(warmth=Warmth.POUR))
    assert cost(scene, key, 400, case_of(warmth=warmth)) > ready + 1.0


def test_the_hotter_the_wax_the_less_is_it_filled() -> None:
    scene, key = vessel_on(with_fragrance()), Key(FILL, 1, 1)
    hot, add, between = (
        cost(scene, key, 400, case_of(warmth=warmth))
        for warmth in (Warmth.HOT, Warmth.ADD, Warmth.BETWEEN)
    )
    assert hot > add > between


def test_once_the_pour_has_begun_warmth_tells_nothing_of_a_fill() -> None:
    scene, key = vessel_on(with_fragrance()).but(stage=Stage.POUR), Key(FILL, 1, 1)
    hot = cost(scene, key, 400, case_of(warmth=Warmth.HOT))
    assert hot == cost(scene, key, 400, case_of(warmth=Warmth.POUR))


def test_a_fill_waits_for_the_fragrance_and_for_the_stir() -> None:
    key = Key(FILL, 1, 1)
    stirred = cost(vessel_on(with_fragrance(gone_s=40)), key, 200)
    at_once = cost(vessel_on(with_fragrance(gone_s=40)), key, 45)
    scentless = cost(vessel_on(with_wax()), key, 200)
    waxless = cost(vessel_on(Scene(bare_mg=0)), key, 200)
    assert stirred + 1.0 < at_once
    assert stirred + 1.0 < scentless
    assert scentless + 4.0 < waxless


def test_a_vessel_more_than_was_planned_costs_more() -> None:
    pouring = vessel_on(with_fragrance()).but(stage=Stage.POUR)
    last = cost(pouring.but(filled=2), Key(FILL, 1, 3), 200)
    assert cost(pouring.but(filled=3), Key(FILL, 1, 4), 200) > last + 2.0


def test_a_fill_that_is_open_is_topped_up() -> None:
    fill = addition_of(FILL, 150.0, base_g=180, vessel=1, gone_s=50)
    scene = vessel_on(with_fragrance()).but(stage=Stage.POUR, filled=1, open=fill)
    (more,) = pours(scene, us(55), case_of())
    assert (more.key, more.had_mg) == (fill.key, mg(150))
    after = poured(scene, more, step(330, 400, at_s=55, took_s=3))
    assert after.open is not None
    assert (after.open.net_mg, after.open.goes, after.filled) == (mg(220), 2, 1)


def test_a_fill_lightens_the_pitcher_that_is_away() -> None:
    scene = vessel_on(with_fragrance()).but(stage=Stage.POUR, away_mg=mg(976), away_at_mg=mg(976))
    (fill,) = pours(scene, us(200), case_of())
    after = poured(scene, fill, step(180, 400, at_s=200, took_s=8))
    assert (after.away_mg, after.away_at_mg) == (mg(756), mg(756))


def test_a_fill_says_that_what_was_apart_is_in_the_wax_by_now() -> None:
    scene = vessel_on(with_fragrance()).but(apart_mg=mg(49.3), away_mg=mg(926.7))
    (fill,) = pours(scene, us(200), case_of())
    after = poured(scene, fill, step(180, 400, at_s=200, took_s=8))
    assert (after.apart_mg, after.away_mg) == (0, mg(756.0))  # 976 g less a fill


def test_the_first_drops_of_a_fill_tell_nothing_by_their_pace() -> None:
    fill = by_key(vessel_on(with_fragrance()), 200, case_of())[Key(FILL, 1, 1)]
    before = plateau(180, 195, 200)

    def cost_at(grams: float, lasted_s: float) -> float:
        motion = Motion(before, mg(180 + grams), us(200 + lasted_s), 1_010, abrupt=False)
        return cost_while_rising(fill, motion)

    assert cost_at(40, 20) == cost_at(40, 4)
    assert cost_at(80, 40) > cost_at(80, 8) + 1.0


# ---------------------------------------------------------------- where nothing was seen


def test_wax_may_go_into_a_pitcher_that_nobody_saw() -> None:
    bare = Scene(bare_mg=0)
    (wax,) = pours(bare, us(5), case_of())
    after = poured(bare, wax, step(0, 616.7, at_s=5, took_s=14))
    assert (after.load, after.empty_mg, after.wax_mg) == (Load.PITCHER, 0, mg(616.7))
    assert after.habits.unseen
    assert after.habits.gradually


def test_what_was_unseen_before_is_likelier_so_again_and_odd_where_all_shows() -> None:
    bare = Scene(bare_mg=0)
    first = cost(bare, WAX_KEY, 5)
    again = cost(bare.but(habits=Habits(unseen=True)), WAX_KEY, 5)
    odd = cost(bare.but(masses=Masses(pitcher_mg=mg(310))), WAX_KEY, 5)
    typed = cost(bare, WAX_KEY, 5, case_of(typed=True))
    assert again < first < odd
    assert typed < first


def test_after_the_wax_fragrance_or_a_fill_may_come_unseen() -> None:
    away = with_wax().closed().but(load=Load.NOTHING)
    keys = by_key(away, 200, case_of())
    assert set(keys) == {SCENT_KEY, Key(FILL, 1, 1)}
    assert keys[SCENT_KEY].after is Load.PITCHER


def test_fragrance_into_a_pitcher_that_nobody_saw_is_odd() -> None:
    away = with_wax().closed().but(load=Load.NOTHING)
    assert cost(with_wax(), SCENT_KEY, 200) + 3.0 < cost(away, SCENT_KEY, 200)


def test_once_the_fragrance_is_in_only_a_fill_comes_unseen() -> None:
    away = with_fragrance().closed().but(load=Load.NOTHING)
    assert set(by_key(away, 200, case_of())) == {Key(FILL, 1, 1)}
