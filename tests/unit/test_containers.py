"""What may be put on the bare pan, how likely that is, and what comes of it."""

import pytest
from scale_steps import (
    BEAKER_MG,
    FILL,
    FRAGRANCE,
    PITCHER_MG,
    VESSEL_MG,
    WAX,
    addition_of,
    case_of,
    mg,
    plateau,
    step,
)

from collector.additions import Key
from collector.case import Case, Warmth
from collector.chances import About, cost_of
from collector.containers import known, puts
from collector.expectations import Stage
from collector.scene import Habits, Lifted, Load, Masses, Scene

CASE = case_of()
EMPTY = Scene(bare_mg=0)


def away(*, fragrance_g: float | None = 49.3, stage: Stage = Stage.BLEND) -> Scene:
    """The pitcher with its wax, and fragrance, was lifted from the scale."""
    made = [addition_of(WAX, 616.7, base_g=310)]
    if fragrance_g is not None:
        made.append(addition_of(FRAGRANCE, fragrance_g, base_g=926.7))
    whole_g = 310 + 616.7 + (fragrance_g or 0.0)
    return EMPTY.but(
        stage=stage,
        made=tuple(made),
        away_mg=mg(whole_g),
        away_at_mg=mg(whole_g),
        left=plateau(whole_g, 60, 70),
        masses=Masses(pitcher_mg=PITCHER_MG),
        pitcher_shown=True,
        lifted=Lifted(Load.PITCHER, mg(whole_g), mg(whole_g - 310)),
    )


def put(scene: Scene, grams: float, case: Case = CASE) -> list[tuple[float, Scene]]:
    """Put a mass on the bare pan; return what it may be, the likeliest first."""
    found = [(cost, after) for after, cost in puts(scene, step(0, grams, at_s=100), case)]
    return sorted(found, key=lambda each: each[0])


def best(scene: Scene, grams: float, case: Case = CASE) -> Scene:
    return put(scene, grams, case)[0][1]


def cost_of_load(scene: Scene, grams: float, load: Load, case: Case = CASE) -> float:
    return min(cost for cost, after in put(scene, grams, case) if after.load is load)


# ---------------------------------------------------------------- pitchers


def test_the_first_thing_put_is_an_empty_pitcher() -> None:
    after = best(EMPTY, 310)
    assert (after.load, after.empty_mg, after.bare_mg) == (Load.PITCHER, PITCHER_MG, 0)
    assert after.masses.pitcher_mg == PITCHER_MG
    assert after.pitcher_shown
    assert after.in_pitcher_mg == 0


def test_a_spoon_is_no_container() -> None:
    assert put(EMPTY, 9) == []


def test_the_same_empty_pitcher_is_known_again_by_its_mass() -> None:
    seen = EMPTY.but(masses=Masses(pitcher_mg=PITCHER_MG))
    same = cost_of_load(seen, 310.4, Load.PITCHER)
    assert same + 3.0 < cost_of_load(EMPTY, 310.4, Load.PITCHER)
    assert same + 3.0 < cost_of_load(seen, 280, Load.PITCHER)


def test_a_pitcher_that_comes_back_as_it_went_still_holds_its_mix() -> None:
    after = best(away(), 976.0)
    assert (after.load, after.stage, after.filled) == (Load.PITCHER, Stage.BLEND, 0)
    assert (after.empty_mg, after.in_pitcher_mg) == (PITCHER_MG, mg(666.0))
    assert (after.away_mg, after.open) == (None, None)
    assert (after.lifted, after.pitcher_shown) == (None, True)


def test_the_bare_pan_is_what_the_display_showed_before_the_container_came() -> None:
    drifted = [after for after, _ in puts(EMPTY, step(3, 313, at_s=100), CASE)]
    assert {(after.bare_mg, after.empty_mg) for after in drifted} == {(mg(3), mg(313))}


def test_a_pitcher_may_come_back_some_drips_lighter_but_hardly_heavier() -> None:
    def cost(grams: float) -> float:
        return min(cost for cost, after in put(away(), grams) if after.filled == 0)

    assert cost(976) + 1.0 < cost(970) < cost(982) - 1.0


def test_a_pitcher_that_is_poured_beside_the_scale_seldom_comes_back_as_it_went() -> None:
    by_loss = away(stage=Stage.POUR).but(filled=1, habits=Habits(by_loss=True))
    unknown = away(stage=Stage.POUR).but(filled=1)
    assert cost_of_load(unknown, 976, Load.PITCHER) < cost_of_load(by_loss, 976, Load.PITCHER)
    assert cost_of_load(unknown, 180, Load.VESSEL) < cost_of_load(by_loss, 180, Load.VESSEL)


def test_a_pitcher_that_never_showed_does_not_come_back() -> None:
    unseen = away().but(away_mg=mg(666.0), masses=Masses(pitcher_mg=0))
    assert Load.PITCHER not in {after.load for _, after in put(unseen, 666.0)}


def test_an_empty_pitcher_that_comes_back_full_was_drawn_elsewhere() -> None:
    gone = EMPTY.but(masses=Masses(pitcher_mg=PITCHER_MG), away_at_mg=PITCHER_MG)
    after = best(gone, 926.7)
    assert (after.load, after.stage) == (Load.PITCHER, Stage.FRAGRANCE)
    assert (after.wax_mg, after.empty_mg) == (mg(616.7), PITCHER_MG)
    assert after.habits.elsewhere
    wax = after.open
    assert wax is not None
    assert wax.gone_us < step(0, 926.7, at_s=100).after.from_us  # it was drawn before


def test_the_pan_it_left_tells_the_pitchers_mass_better_than_the_one_it_came_to() -> None:
    drifted = EMPTY.but(masses=Masses(pitcher_mg=PITCHER_MG - 300), away_at_mg=PITCHER_MG)
    assert best(drifted, 926.7).wax_mg == mg(616.7)


def test_a_pitcher_nobody_has_seen_empty_shows_no_wax_drawn_elsewhere() -> None:
    assert {after.wax_mg for _, after in put(EMPTY, 926.7)} == {None}


def test_fragrance_that_was_weighed_apart_comes_back_in_the_wax() -> None:
    apart = away().but(apart_mg=mg(49.3), away_mg=mg(926.7), away_at_mg=mg(926.7))
    tipped = best(apart, 976.0)
    assert (tipped.apart_mg, tipped.in_pitcher_mg) == (0, mg(666.0))
    untipped = best(apart, 926.7)
    assert (untipped.apart_mg, untipped.in_pitcher_mg) == (mg(49.3), mg(616.7))


# ---------------------------------------------------------------- filled beside the scale


@pytest.mark.parametrize("fills", [1, 2, 3])
def test_a_pitcher_that_lost_so_many_fills_was_poured_from(fills: int) -> None:
    after = best(away(), 976.0 - fills * 220.0)
    assert (after.load, after.stage, after.filled) == (Load.PITCHER, Stage.POUR, fills)
    fill = after.open
    assert fill is not None
    assert (fill.key, fill.lost, fill.net_mg) == (Key(FILL, 1, 1), fills, mg(fills * 220.0))
    assert after.in_pitcher_mg == mg(666.0 - fills * 220.0)
    assert after.empty_mg == PITCHER_MG
    assert after.habits.by_loss


def test_a_lost_fill_is_counted_from_where_the_pitcher_rested_last() -> None:
    fill = best(away(), 756.0).open
    assert fill is not None
    assert (fill.base_mg, fill.start) == (mg(976), plateau(976, 60, 70))
    forgotten = best(away().but(away_at_mg=None, left=None), 756.0).open
    assert forgotten is not None
    assert (forgotten.base_mg, forgotten.net_mg) == (mg(976), mg(220))
    assert forgotten.start == step(0, 756, at_s=100).before


def test_a_fill_that_is_short_may_be_lost_and_one_fill_rather_than_more() -> None:
    def cost(lost_g: float) -> float:
        return min(cost for cost, after in put(away(), 976 - lost_g) if after.filled)

    assert cost(220) + 2.0 < cost(110) < cost(80) - 2.0
    assert cost(220) < cost(440) < cost(660)
    assert cost(285) < cost(310)  # between one and two it is neither


def test_one_fill_is_likelier_lost_than_two_and_the_next_is_the_next_vessel() -> None:
    pouring = away(stage=Stage.POUR).but(filled=1, habits=Habits(by_loss=True))
    after = best(pouring, 976.0 - 218.0)
    assert after.open is not None
    assert (after.open.key, after.open.lost, after.filled) == (Key(FILL, 1, 2), 1, 2)


def test_no_more_fills_are_lost_than_vessels_are_left() -> None:
    nearly = away(stage=Stage.POUR).but(filled=2)
    assert {after.filled for _, after in put(nearly, 976.0 - 440.0)} <= {2, 3}
    done = away(stage=Stage.POUR).but(filled=3)
    assert {after.filled for _, after in put(done, 976.0 - 220.0)} == {3}


def test_a_drip_that_is_lost_is_no_fill() -> None:
    assert {after.filled for _, after in put(away(), 970.0)} == {0}


def test_no_more_is_lost_than_was_in_the_pitcher() -> None:
    little = away().but(made=(addition_of(WAX, 200.0, base_g=310),), away_mg=mg(510))

    def cost(lost_g: float) -> float:
        return min(cost for cost, after in put(little, 510.0 - lost_g) if after.filled == 1)

    assert cost(235.0) > cost(205.0) + 3.0  # as far from a fill of 220 g


def test_hot_wax_is_seldom_filled_beside_the_scale() -> None:
    def cost(warmth: Warmth) -> float:
        found = put(away(), 756.0, case_of(warmth=warmth))
        return min(cost for cost, after in found if after.filled)

    assert cost(Warmth.POUR) + 1.0 < cost(Warmth.BETWEEN) < cost(Warmth.HOT) - 1.0


def test_filling_beside_the_scale_is_a_habit_and_so_is_filling_on_it() -> None:
    costs = [
        min(cost for cost, after in put(away().but(habits=habits), 756.0) if after.filled)
        for habits in (Habits(by_loss=True), Habits(), Habits(on_scale=True))
    ]
    assert costs[0] < costs[1] < costs[2]


# ---------------------------------------------------------------- vessels and beakers


def test_after_the_fragrance_a_light_container_is_a_vessel() -> None:
    after = best(away(), 180)
    assert (after.load, after.empty_mg, after.open) == (Load.VESSEL, VESSEL_MG, None)
    assert after.masses.vessel_mg == VESSEL_MG
    assert after.away_mg == mg(976.0)


def test_a_vessel_of_the_same_kind_is_known_again() -> None:
    pouring = away(stage=Stage.POUR)
    seen = pouring.but(masses=Masses(PITCHER_MG, VESSEL_MG))
    assert cost_of_load(seen, 181.5, Load.VESSEL) < cost_of_load(pouring, 181.5, Load.VESSEL)
    assert cost_of_load(seen, 181.5, Load.VESSEL) + 2.0 < cost_of_load(seen, 240, Load.VESSEL)


@pytest.mark.parametrize("warmth", [Warmth.HOT, Warmth.ADD, Warmth.BETWEEN])
def test_the_first_vessel_is_not_put_while_the_wax_is_hot(warmth: Warmth) -> None:
    early = cost_of_load(away(), 180, Load.VESSEL, case_of(warmth=warmth))
    ready = cost_of_load(away(), 180, Load.VESSEL, case_of(warmth=Warmth.POUR))
    assert early > ready + 0.5


def test_a_lot_whose_vessels_are_all_filled_gets_no_other_one() -> None:
    done = away(stage=Stage.POUR).but(filled=3)
    assert Load.VESSEL not in {after.load for _, after in put(done, 180)}


def test_before_the_fragrance_a_light_container_is_a_beaker() -> None:
    after = best(away(fragrance_g=None, stage=Stage.FRAGRANCE), 64)
    assert (after.load, after.empty_mg) == (Load.BEAKER, BEAKER_MG)
    assert after.masses.beaker_mg == BEAKER_MG
    assert after.away_mg == mg(926.7)


def test_a_beaker_needs_wax_that_is_away_and_no_fragrance_is_weighed_while_pouring() -> None:
    nowhere = away(fragrance_g=None, stage=Stage.FRAGRANCE).but(away_mg=None)
    assert Load.BEAKER not in {after.load for _, after in put(nowhere, 64)}
    assert Load.BEAKER not in {after.load for _, after in put(away(stage=Stage.POUR), 64)}


def test_a_beaker_comes_before_the_fragrance_rather_than_after_it() -> None:
    before = away(fragrance_g=None, stage=Stage.FRAGRANCE)
    assert cost_of_load(before, 64, Load.BEAKER) + 1.0 < cost_of_load(away(), 64, Load.BEAKER)


def test_what_was_apart_goes_in_before_the_next_beaker_and_may_yet_after_a_vessel_is_put() -> None:
    apart = away().but(apart_mg=mg(49.3), away_mg=mg(926.7))
    found = {scene.load: scene for _, scene in put(apart, 120)}
    beaker, vessel = found[Load.BEAKER], found[Load.VESSEL]
    assert (beaker.apart_mg, beaker.away_mg) == (0, mg(976.0))
    assert (vessel.apart_mg, vessel.away_mg) == (mg(49.3), mg(926.7))


# ---------------------------------------------------------------- full vessels


def looked_at(*, stage: Stage = Stage.POUR, vessel_g: float = 180.0) -> Scene:
    """A vessel was filled and lifted."""
    fill = addition_of(FILL, 220, base_g=vessel_g, vessel=1)
    scene = away(stage=stage)
    lifted = Lifted(Load.VESSEL, mg(vessel_g + 220), mg(220))
    return scene.but(made=(*scene.made, fill), filled=1, lifted=lifted)


def test_a_filled_vessel_that_was_looked_at_is_put_back() -> None:
    after = best(looked_at(), 400.2)
    assert (after.load, after.filled, after.empty_mg) == (Load.VESSEL, 1, mg(180.2))
    assert after.open is not None
    assert (after.open.key, after.open.net_mg) == (Key(FILL, 1, 1), mg(220))
    assert after.open.base_mg == mg(180.2)
    assert [each.key.kind for each in after.made] == [WAX, FRAGRANCE]
    assert after.in_container_mg == mg(220)


def test_what_weighs_less_than_the_filled_vessel_is_another_one() -> None:
    assert best(looked_at(), 180).open is None
    as_heavy, lighter = (
        min(cost for cost, after in put(looked_at(), grams) if after.open is not None)
        for grams in (400, 396)
    )
    assert as_heavy + 3.0 < lighter


def test_a_vessel_is_put_back_only_where_its_fill_was_the_last_thing() -> None:
    def put_back(scene: Scene) -> bool:
        vessels = [after for _, after in put(scene, 400) if after.load is Load.VESSEL]
        return any(after.open is not None for after in vessels)

    scene = looked_at()
    assert put_back(scene)
    assert not put_back(scene.but(made=scene.made[:2]))
    assert not put_back(scene.but(made=()))


def test_a_vessel_that_never_showed_does_not_come_back_full() -> None:
    unseen = looked_at(vessel_g=0.0)
    found = [after for _, after in put(unseen, 220.0) if after.load is Load.VESSEL]
    assert found
    assert all(after.open is None for after in found)


# ---------------------------------------------------------------- the next pitcher


def test_while_pouring_the_next_pitcher_is_the_likelier_the_fewer_vessels_are_left() -> None:
    case = case_of(vessels=7)  # four from the first pitcher, three from the next
    pouring = away(stage=Stage.POUR).but(away_mg=None)
    costs = []
    for filled in (2, 3, 4):
        turned = [
            (cost, after)
            for cost, after in put(pouring.but(filled=filled), 310, case)
            if after.load is Load.PITCHER
        ]
        assert {after.pitcher for _, after in turned} == {2}
        costs.append(turned[0][0])
    assert costs[0] > costs[1] > costs[2]


def test_what_is_known_is_a_bell_and_what_is_not_is_anything() -> None:
    unknown = About(1.0, 160_000, 0.8)
    assert known(None, unknown, 0.01, 1_000) == (unknown,)
    mixture = known(180_000, unknown, 0.01, 1_000)
    assert sum(part.share for part in mixture) == pytest.approx(1.0)
    assert cost_of(mixture, 180_000) < cost_of(mixture, 190_000)
