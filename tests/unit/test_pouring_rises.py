"""How fast something comes, and what is taken up again after a rest."""

from pouring_scenes import (
    SCENT_KEY,
    WAX_KEY,
    beaker_on,
    by_key,
    vessel_on,
    with_fragrance,
    with_wax,
)
from scale_steps import (
    FILL,
    FRAGRANCE,
    Hands,
    addition_of,
    case_of,
    mg,
    plateau,
    step,
    us,
)

from collector.additions import Key
from collector.case import Warmth
from collector.chances import cost_of
from collector.expectations import Stage
from collector.pourings import (
    abruptness,
    cost_of_rise,
    cost_while_rising,
    poured,
    pours,
)
from collector.scene import Habits, Load, Scene
from collector.weighings import Motion

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
