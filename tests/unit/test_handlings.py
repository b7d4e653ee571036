"""What hands do with containers and things, and what comes of it."""

import msgspec
import pytest
from scale_steps import (
    FILL,
    FRAGRANCE,
    PITCHER_MG,
    VESSEL_MG,
    WAX,
    Hands,
    addition_of,
    blended,
    case_of,
    loads,
    mg,
    plateau,
    step,
    us,
)

from collector.additions import Key
from collector.case import Case
from collector.expectations import Stage
from collector.handlings import GRADUAL_EACH_S, gradual, handlings, lingering
from collector.scene import Load, Masses, Scene
from collector.weighings import Step

CASE = case_of()


def handled(scene: Scene, move: Step, case: Case = CASE) -> list[tuple[float, Scene]]:
    found = [(cost, after) for after, cost in handlings(scene, move, case)]
    return sorted(found, key=lambda each: each[0])


def with_wax(grams: float = 616.7, gone_s: float = 10.0) -> Scene:
    """An untared pitcher with wax on the scale."""
    wax = addition_of(WAX, grams, base_g=310, gone_s=gone_s)
    masses = Masses(pitcher_mg=PITCHER_MG)
    return Scene(Load.PITCHER, 0, PITCHER_MG, stage=Stage.FRAGRANCE, open=wax, masses=masses)


def with_fragrance() -> Scene:
    fragrance = addition_of(FRAGRANCE, 49.3, base_g=926.7, gone_s=40)
    return with_wax().closed().but(stage=Stage.BLEND, open=fragrance)


def vessel(fill_g: float = 220.0, *, gone_s: float = 10.0) -> Scene:
    """A vessel with its fill on the scale, while the pitcher is away."""
    return Scene(
        Load.VESSEL,
        0,
        VESSEL_MG,
        stage=Stage.POUR,
        filled=1,
        open=addition_of(FILL, fill_g, base_g=180, vessel=1, gone_s=gone_s),
        masses=Masses(vessel_mg=VESSEL_MG),
    )


# ---------------------------------------------------------------- tared or lifted


def test_an_empty_pitcher_that_goes_to_zero_was_tared() -> None:
    scene = handled(Scene(Load.PITCHER, 0, PITCHER_MG), step(310, 0))[0][1]
    assert (scene.load, scene.empty_mg, scene.bare_mg) == (Load.PITCHER, 0, -PITCHER_MG)


def test_a_display_that_goes_to_zero_is_tared_or_lifted() -> None:
    after = handled(with_wax(), step(926.7, 0))
    best = after[0][0]
    assert loads([each for each in after if each[0] < best + 3.0]) == {Load.PITCHER, Load.NOTHING}


def test_a_display_that_goes_elsewhere_was_not_tared() -> None:
    def tared(to_g: float) -> bool:
        found = handled(Scene(Load.PITCHER, 0, PITCHER_MG), step(310, to_g))
        return any(scene.bare_mg == mg(to_g - 310) for _, scene in found)

    assert tared(0)
    assert not tared(40)


def test_a_full_vessel_is_lifted_and_an_empty_one_is_tared() -> None:
    assert handled(vessel(), step(400, 0))[0][1].load is Load.NOTHING
    empty = handled(vessel().but(open=None), step(180, 0))[0][1]
    assert (empty.load, empty.empty_mg) == (Load.VESSEL, 0)


def test_who_has_just_put_a_container_tares_it_rather_than_one_that_is_full() -> None:
    def cost(scene: Scene, shown_g: float) -> float:
        found = handled(scene, step(shown_g, 0, at_s=60))
        return min(c for c, after in found if after.empty_mg == (scene.empty_mg or 0) - mg(shown_g))

    assert cost(vessel().but(open=None), 180) + 2.0 < cost(vessel(), 400)
    assert cost(Scene(Load.PITCHER, 0, PITCHER_MG), 310) < cost(with_wax(), 926.7)


def test_a_tare_changes_nothing_of_what_was_weighed() -> None:
    tared = next(
        scene for _, scene in handled(with_wax(), step(926.7, 0)) if scene.load is Load.PITCHER
    )
    assert (tared.wax_mg, tared.bare_mg) == (mg(616.7), mg(-926.7))
    assert tared.at_rest(plateau(0)).wax_mg == mg(616.7)


# ---------------------------------------------------------------- things


def test_what_is_laid_on_and_taken_off_leaves_the_scene_as_it_was() -> None:
    before = with_fragrance()
    laid = next(scene for _, scene in handled(before, step(976, 1_156)) if scene.load is Load.THING)
    assert (laid.under, laid.under_mg, laid.laid_us) == (before, mg(976), us(3.4))
    after = handled(laid, step(1_156, 976, at_s=10))[0][1]
    assert (after.load, after.under, after.stage) == (Load.PITCHER, None, Stage.BLEND)
    assert (after.bare_mg, after.empty_mg) == (before.bare_mg, before.empty_mg)
    assert (after.wax_mg, after.fragrance_mg) == (mg(616.7), mg(49.3))
    assert after.open is not None
    assert (after.open.base_mg, after.open.goes) == (mg(926.7), 1)


def test_a_thing_that_leaves_a_drop_behind_moves_the_display_and_no_mass() -> None:
    before = with_fragrance()
    laid = before.but(load=Load.THING, under=before, under_mg=mg(976))
    after = handled(laid, step(1_156, 976.3, at_s=10))[0][1]
    assert after.load is Load.PITCHER
    assert after.fragrance_mg == mg(49.3)
    assert after.empty_mg == mg(310.3)


def test_a_thing_that_moves_still_lies_there() -> None:
    before = with_fragrance()
    laid = before.but(load=Load.THING, under=before, under_mg=mg(976))
    assert handled(laid, step(1_156, 1_056, at_s=10))[0][1] == laid


def test_a_thing_that_gives_way_to_a_vessel_was_under_nothing() -> None:
    bare = Scene(stage=Stage.POUR, bare_mg=0, masses=Masses(PITCHER_MG, VESSEL_MG))
    laid = bare.but(load=Load.THING, under=bare, under_mg=0)
    after = handled(laid, step(90, 180, at_s=10))[0][1]
    assert (after.load, after.empty_mg, after.under) == (Load.VESSEL, VESSEL_MG, None)


def test_a_vessel_poured_full_beside_a_thing_did_not_come_while_it_left() -> None:
    bare = Scene(stage=Stage.POUR, bare_mg=0, masses=Masses(PITCHER_MG, VESSEL_MG))
    laid = bare.but(load=Load.THING, under=bare, under_mg=0)
    rises = handled(laid, step(90, 180, at_s=10, took_s=6))
    assert loads(rises) == {Load.NOTHING, Load.THING}


def test_a_vessel_comes_to_the_bare_pan_rather_than_in_the_place_of_a_thing() -> None:
    bare = Scene(stage=Stage.POUR, bare_mg=0, masses=Masses(PITCHER_MG, VESSEL_MG))
    laid = bare.but(load=Load.THING, under=bare, under_mg=0)

    def cost(scene: Scene, from_g: float) -> float:
        found = handled(scene, step(from_g, 180, at_s=10))
        return min(cost for cost, after in found if after.load is Load.VESSEL)

    assert cost(bare, 0) + 1.0 < cost(laid, 90)


def test_a_thing_that_lies_there_for_long_was_none() -> None:
    laid = Scene(Load.THING, under=Scene(bare_mg=0), laid_us=us(100))
    assert lingering(laid, us(103)) == 0.0
    assert 0.0 < lingering(laid, us(110)) < lingering(laid, us(120))
    assert lingering(Scene(Load.PITCHER, laid_us=us(100)), us(500)) == 0.0


# ---------------------------------------------------------------- last drops, slips


def test_the_last_drops_extend_what_is_open() -> None:
    after = handled(vessel(219.4), step(399.4, 400.2, at_s=12, took_s=0.8))[0][1]
    assert after.open is not None
    assert (after.open.key, after.open.net_mg) == (Key(FILL, 1, 1), mg(220.2))
    assert after.open.gone_us == us(12.8)  # and more may drip on from then
    assert after.empty_mg == VESSEL_MG


def test_a_small_change_much_later_is_the_scale_that_slipped() -> None:
    after = handled(vessel(219.4), step(399.4, 400.2, at_s=60, took_s=0.8))[0][1]
    assert after.open is not None
    assert (after.open.net_mg, after.empty_mg) == (mg(219.4), mg(180.8))


def test_the_last_drops_of_fragrance_apart_are_apart_too() -> None:
    fragrance = addition_of(FRAGRANCE, 48.6, base_g=64, gone_s=10, apart=True)
    beaker = with_wax().closed().but(load=Load.BEAKER, bare_mg=0, empty_mg=mg(64))
    beaker = beaker.with_open(fragrance)
    after = handled(beaker, step(112.6, 113.3, at_s=12, took_s=0.8))[0][1]
    assert (after.fragrance_mg, after.apart_mg) == (mg(49.3), mg(49.3))


def test_a_large_change_is_no_slip() -> None:
    assert all(
        scene.empty_mg != mg(185) for _, scene in handled(vessel(), step(400, 405, took_s=1))
    )


def test_a_coarse_scale_slips_further() -> None:
    coarse = case_of(division_g=2.0)
    move = step(400, 406, at_s=60)
    assert any(scene.bare_mg == mg(6) for _, scene in handled(vessel(), move, coarse))
    assert not any(scene.bare_mg == mg(6) for _, scene in handled(vessel(), move))


# ---------------------------------------------------------------- scooped out


def test_a_fill_past_its_brim_is_scooped_back_to_the_mark() -> None:
    after = handled(vessel(232.0), step(412, 400, at_s=20, took_s=3))[0][1]
    assert after.open is not None
    assert (after.open.net_mg, after.open.trimmed) == (mg(220), True)
    assert after.open.gone_us == us(23)
    assert after.load is Load.VESSEL


def test_wax_past_its_mark_is_scooped_out() -> None:
    after = handled(with_wax(655.0), step(965, 926.7, at_s=20, took_s=4))[0][1]
    assert after.wax_mg == mg(616.7)


def test_a_fill_is_scooped_back_to_its_mark_rather_than_to_half_and_at_any_pace() -> None:
    def cost(to_g: float, took_s: float) -> float:
        found = handled(vessel(232.0), step(412, to_g, at_s=20, took_s=took_s))
        return min(c for c, after in found if after.open is not None and after.open.trimmed)

    assert cost(400, 3) + 2.0 < cost(290, 3)
    assert cost(400, 6) == pytest.approx(cost(400, 3))


def test_what_is_in_the_wax_is_never_scooped_out_again() -> None:
    falls = handled(with_fragrance(), step(976, 966, at_s=60, took_s=3))
    assert {scene.fragrance_mg for _, scene in falls} == {mg(49.3)}


def test_fragrance_apart_can_be_taken_out_again() -> None:
    fragrance = addition_of(FRAGRANCE, 58.0, base_g=64, gone_s=10, apart=True)
    beaker = with_wax().closed().but(load=Load.BEAKER, bare_mg=0, empty_mg=mg(64))
    falls = handled(beaker.with_open(fragrance), step(122, 113.3, at_s=20, took_s=3))
    assert (mg(49.3), mg(49.3)) in {(each.fragrance_mg, each.apart_mg) for _, each in falls}


def test_fills_that_a_pitcher_lost_are_not_scooped_out_of_it() -> None:
    lost = msgspec.structs.replace(addition_of(FILL, 220, base_g=976, vessel=1), lost=1)
    scene = with_wax().closed().but(stage=Stage.POUR, filled=1, open=lost)
    falls = handled(scene, step(756, 740, at_s=60, took_s=3))
    assert not any(each.open is not None and each.open.trimmed for _, each in falls)


# ---------------------------------------------------------------- swapped


def test_a_full_vessel_gives_way_to_an_empty_one_in_one_move() -> None:
    after = handled(vessel(), step(400, 181, at_s=60))[0][1]
    assert (after.load, after.empty_mg, after.open) == (Load.VESSEL, mg(181), None)
    assert [each.net_mg for each in after.made] == [mg(220)]
    assert after.habits.swaps


def test_the_pitcher_gives_way_to_a_vessel_in_one_move() -> None:
    swaps = [s for _, s in handled(with_fragrance(), step(976, 180, at_s=200)) if s.habits.swaps]
    vessels = [scene for scene in swaps if scene.load is Load.VESSEL]
    assert {(each.empty_mg, each.away_mg, each.bare_mg) for each in vessels} == {
        (VESSEL_MG, mg(976), 0)
    }


def test_a_pitcher_is_not_swapped_for_one_that_weighs_about_the_same() -> None:
    falls = handled(with_fragrance(), step(976, 966, at_s=200))
    assert not any(after.habits.swaps for _, after in falls)


def test_a_swap_below_zero_is_one_where_the_load_was_tared() -> None:
    tared = vessel().shifted(mg(-180))
    after = handled(tared, step(220, 1, at_s=60))[0][1]
    assert (after.load, after.empty_mg, after.bare_mg) == (Load.VESSEL, mg(1), -VESSEL_MG)
    below = handled(tared, step(220, -20, at_s=60))
    assert any(scene.habits.swaps and scene.load is Load.VESSEL for _, scene in below)
    assert not any(s.habits.swaps for _, s in handled(tared, step(220, -190, at_s=60)))


def test_a_swap_is_likelier_once_this_lot_has_shown_one() -> None:
    def cost(scene: Scene) -> float:
        swaps = handled(scene, step(400, 181, at_s=60))
        return min(cost for cost, after in swaps if after.load is Load.VESSEL and not after.open)

    shown = vessel().but(habits=msgspec.structs.replace(vessel().habits, swaps=True))
    assert cost(shown) < cost(vessel())


def test_a_slow_fall_is_no_swap() -> None:
    falls = handled(vessel(), step(400, 181, at_s=60, took_s=6))
    assert not any(after.habits.swaps for _, after in falls)


def test_nothing_is_swapped_where_the_bare_pan_never_showed() -> None:
    falls = handled(vessel().but(bare_mg=None), step(400, 181, at_s=60))
    assert not any(after.habits.swaps for _, after in falls)


# ---------------------------------------------------------------- how it came


def test_the_longer_something_took_the_less_was_it_put() -> None:
    assert gradual(us(1)) == gradual(us(1.5))
    assert gradual(us(2.5)) == pytest.approx(gradual(us(1.5)) + GRADUAL_EACH_S)
    assert gradual(us(4)) < gradual(us(8))
    assert gradual(us(60)) == gradual(us(600))


def test_what_was_put_came_at_once() -> None:
    bare = Scene(bare_mg=0)

    def cost(move: Step, case: Case = CASE) -> float:
        return min(c for c, after in handled(bare, move, case) if after.load is Load.PITCHER)

    assert cost(step(0, 310)) + 2.0 < cost(step(0, 310, took_s=4)) < cost(step(0, 310, took_s=6))
    typed = case_of(typed=True)
    assert cost(step(0, 310), typed) == cost(step(0, 310, took_s=4), typed)


@pytest.mark.parametrize("case", [case_of(), case_of(division_g=1.0)])
def test_a_lot_is_followed_from_the_pitcher_to_the_last_vessel(case: Case) -> None:
    hands = blended(case)
    hands.wait(120)
    hands.lift()
    for vessel_number in (1, 2, 3):
        hands.wait(5)
        hands.fill_one()
        hands.lift()
        assert hands.scene.filled == vessel_number
    fills = [each.net_mg for each in hands.scene.made if each.key.kind == FILL]
    assert fills == [mg(220)] * 3


def test_a_pitcher_that_was_tared_takes_its_wax_from_zero() -> None:
    hands = Hands(CASE)
    hands.to(310)
    hands.to(0)
    hands.pour(616.7, 14)
    assert (hands.scene.load, hands.scene.wax_mg) == (Load.PITCHER, mg(616.7))
    assert hands.scene.bare_mg == -PITCHER_MG
