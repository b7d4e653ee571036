"""What can be poured into what stands on the scale, and how likely each is."""

import msgspec
import pytest
from scale_steps import (
    FILL,
    FRAGRANCE,
    WAX,
    Hands,
    addition_of,
    case_of,
    mg,
    plateau,
    step,
    us,
)

from collector.additions import Key
from collector.case import Case, Warmth
from collector.chances import cost_of
from collector.expectations import Stage
from collector.pourings import (
    Pour,
    abruptness,
    cost_of_rise,
    cost_while_rising,
    poured,
    pours,
)
from collector.scene import Habits, Load, Masses, Scene
from collector.weighings import Motion

WAX_KEY, SCENT_KEY, TIP_KEY = Key(WAX, 1), Key(FRAGRANCE, 1), Key(FRAGRANCE, 1, None, tipped=True)


def with_wax(grams: float = 616.7, gone_s: float = 10.0) -> Scene:
    """A tared pitcher on the scale, with wax that has just been drawn."""
    wax = addition_of(WAX, grams, gone_s=gone_s)
    return Scene(Load.PITCHER, mg(-310), 0, stage=Stage.FRAGRANCE, open=wax)


def with_fragrance(grams: float = 49.3, gone_s: float = 40.0) -> Scene:
    fragrance = addition_of(FRAGRANCE, grams, base_g=616.7, gone_s=gone_s)
    return with_wax().closed().but(stage=Stage.BLEND, open=fragrance)


def vessel_on(scene: Scene, empty_g: float = 180.0) -> Scene:
    return scene.closed().but(load=Load.VESSEL, bare_mg=0, empty_mg=mg(empty_g))


def by_key(scene: Scene, at_s: float, case: Case) -> dict[Key, Pour]:
    return {pour.key: pour for pour in pours(scene, us(at_s), case)}


def cost(scene: Scene, key: Key, at_s: float, case: Case | None = None) -> float:
    """Return what it costs beforehand to say that something is poured now."""
    return by_key(scene, at_s, case or case_of())[key].cost


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


def beaker_on() -> Scene:
    away = with_wax().closed().but(away_mg=mg(926.7))
    return away.but(load=Load.BEAKER, bare_mg=0, empty_mg=mg(64))


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


# ---------------------------------------------------------------- how fast


def test_what_comes_fast_is_no_fragrance_and_what_comes_slowly_no_fill() -> None:
    case = case_of()
    scent = by_key(with_wax(), 130, case)[SCENT_KEY]
    dribbled = cost_of_rise(scent, step(616.7, 666, at_s=130, took_s=8), case)
    gushed = cost_of_rise(scent, step(616.7, 666, at_s=130, took_s=1), case)
    assert gushed > dribbled + 2.0
    fill = by_key(vessel_on(with_fragrance()), 200, case)[Key(FILL, 1, 1)]
    quick = cost_of_rise(fill, step(180, 400, at_s=200, took_s=8), case)
    slow = cost_of_rise(fill, step(180, 400, at_s=200, took_s=120), case)
    assert slow > quick + 2.0


def test_a_rise_that_goes_on_costs_more_once_it_is_past_its_mark() -> None:
    scent = by_key(with_wax(), 130, case_of())[SCENT_KEY]
    before = plateau(616.7, 125, 130)
    costs = [
        cost_while_rising(scent, Motion(before, mg(616.7 + grams), us(135), 700, abrupt=False))
        for grams in (10, 40, 52, 70)
    ]
    assert costs == sorted(costs)
    assert costs[-1] > costs[1] + 2.0


def test_what_came_at_once_was_hardly_poured_where_pouring_has_shown() -> None:
    case, move = case_of(), step(616.7, 666, at_s=130)
    scene = with_wax()
    first = abruptness(scene, move, case)
    again = abruptness(scene.but(habits=Habits(at_once=True)), move, case)
    odd = abruptness(scene.but(habits=Habits(gradually=True)), move, case)
    assert 0.0 < again < first < odd
    assert abruptness(scene, step(616.7, 666, at_s=130, took_s=8), case) == 0.0
    assert abruptness(scene, move, case_of(typed=True)) == 0.0


def test_a_splash_may_come_at_once() -> None:
    case, scene = case_of(), with_wax()
    splash, all_of_it = step(616.7, 626.7, at_s=130), step(616.7, 666, at_s=130)
    assert abruptness(scene, splash, case) < abruptness(scene, all_of_it, case)


def test_how_something_came_becomes_the_habit_of_the_lot() -> None:
    scene, case = with_wax(), case_of()
    scent = by_key(scene, 130, case)[SCENT_KEY]
    at_once = poured(scene, scent, step(616.7, 666, at_s=130)).habits
    assert (at_once.at_once, at_once.gradually) == (True, False)
    drop = poured(scene, scent, step(616.7, 618, at_s=130)).habits
    assert drop == Habits()


# ---------------------------------------------------------------- taken up again


def test_wax_poured_to_the_fragrance_goes_on_with_the_same_wax() -> None:
    scene, case = with_fragrance(60.0), case_of()
    wax = by_key(scene, 100, case)[WAX_KEY]
    after = poured(scene, wax, step(676.7, 800, at_s=100, took_s=6))
    assert (after.wax_mg, after.fragrance_mg) == (mg(740.0), mg(60.0))
    assert [each.key for each in after.additions()] == [SCENT_KEY, WAX_KEY]
    assert after.stage is Stage.BLEND


def test_wax_that_is_topped_up_leaves_only_what_it_lacks() -> None:
    case, scene = case_of(), with_wax(500.0)
    wax = by_key(scene, 13, case)[WAX_KEY]
    assert (wax.had_mg, wax.target_mg) == (mg(500), case.targets.wax(1).target_mg)
    after = poured(scene, wax, step(500, 616.7, at_s=13, took_s=5))
    assert (after.wax_mg, after.open is not None and after.open.goes) == (mg(616.7), 2)


def test_wax_on_its_mark_is_the_less_topped_up_the_longer_it_rested() -> None:
    case, scene = case_of(), with_wax(616.7)

    def cost_after(rested_s: float) -> float:
        pour = by_key(scene, 10 + rested_s, case)[WAX_KEY]
        return cost_of(pour.mixture, mg(20))

    assert cost_after(1.0) < cost_after(2.0) < cost_after(3.0)


def test_after_the_wax_comes_the_fragrance() -> None:
    bare = Scene(Load.PITCHER, mg(-310), 0)
    wax = by_key(bare, 5, case_of())[WAX_KEY]
    assert poured(bare, wax, step(0, 616.7, at_s=5, took_s=14)).stage is Stage.FRAGRANCE


def test_a_second_beaker_is_another_helping_of_the_same_fragrance() -> None:
    first = addition_of(FRAGRANCE, 30.0, base_g=64, gone_s=40, apart=True)
    beaker = beaker_on()
    beaker = beaker.but(made=(*beaker.made, first), stage=Stage.BLEND, away_mg=mg(956.7))
    (scent,) = pours(beaker, us(60), case_of())
    after = poured(beaker, scent, step(64.0, 83.3, at_s=60, took_s=5))
    assert (after.fragrance_mg, after.apart_mg) == (mg(49.3), mg(19.3))
    assert [each.key for each in after.additions()] == [WAX_KEY, SCENT_KEY]
    assert after.in_pitcher_mg == mg(646.7)


def test_fragrance_added_to_the_wax_after_some_was_apart_goes_into_the_wax() -> None:
    apart = addition_of(FRAGRANCE, 49.3, base_g=64, gone_s=40, apart=True)
    wax = with_wax().closed()
    scene = wax.but(made=(*wax.made, apart), stage=Stage.BLEND)  # tipped in beside the scale
    scent = by_key(scene, 60, case_of())[SCENT_KEY]
    after = poured(scene, scent, step(666.0, 668.0, at_s=60, took_s=2))
    assert after.open is not None
    assert (after.open.apart, after.apart_mg, after.fragrance_mg) == (False, 0, mg(51.3))


def test_a_beaker_before_any_wax_is_filled_for_the_planned_wax() -> None:
    beaker = Scene(Load.BEAKER, 0, mg(64))
    (scent,) = pours(beaker, us(10), case_of())
    assert (
        scent.target_mg == case_of().targets.fragrance(case_of().targets.wax(1).target_mg).target_mg
    )


def test_fragrance_is_weighed_apart_while_the_wax_is_still_hot() -> None:
    def cost_at(warmth: Warmth) -> float:
        (scent,) = pours(beaker_on(), us(60), case_of(warmth=warmth))
        return scent.cost

    assert cost_at(Warmth.HOT) == cost_at(Warmth.ADD)
    assert cost_at(Warmth.POUR) > cost_at(Warmth.ADD) + 1.0


def test_wax_that_came_all_at_once_was_poured_out_of_sight() -> None:
    wax = by_key(Scene(Load.PITCHER, 0, mg(310)), 10, case_of())[WAX_KEY]
    some, all_but_some = step(310, 510, at_s=10), step(310, 890, at_s=10)
    assert cost_of_rise(wax, all_but_some, case_of()) + 2.0 < cost_of_rise(wax, some, case_of())
    slow = step(310, 510, at_s=10, took_s=6)
    assert cost_of_rise(wax, slow, case_of()) + 1.0 < cost_of_rise(wax, some, case_of())


def test_a_typed_display_tells_nothing_by_its_pace() -> None:
    typed = case_of(typed=True)
    hands = Hands(typed)
    hands.to(310)
    hands.to(926.7)
    assert hands.scene.wax_mg == mg(616.7)
    scent = by_key(hands.scene, hands.now_s + 30, typed)[SCENT_KEY]
    quick, slow = hands.next(976.0), hands.next(976.0, took_s=20)
    assert cost_of_rise(scent, quick, typed) == cost_of_rise(scent, slow, typed)
