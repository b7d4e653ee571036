"""Several scenes side by side, each as likely as it has turned out to be."""

import itertools
import math

import msgspec
import pytest
from scale_steps import (
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
    us,
)

from collector.additions import Key
from collector.expectations import Stage
from collector.scene import Load, Masses, Scene
from collector.stories import MOST, UNLIKELY, Stories, Story, following
from collector.weighings import Motion

CASE = case_of()


def stories_of(*scenes: tuple[float, Scene]) -> Stories:
    stories = Stories()
    stories.all = [Story(scene, cost) for cost, scene in scenes]
    return stories


def with_wax(grams: float = 616.7) -> Scene:
    """An untared pitcher with its wax on the scale, long enough for anything to come next."""
    wax = addition_of(WAX, grams, base_g=310, gone_s=10)
    masses = Masses(pitcher_mg=PITCHER_MG)
    return Scene(Load.PITCHER, 0, PITCHER_MG, stage=Stage.FRAGRANCE, open=wax, masses=masses)


def on(stories: Stories, load: Load) -> float:
    return stories.chance(lambda scene: scene.load is load)


# ---------------------------------------------------------------- chances


def test_the_chances_of_all_kept_scenes_sum_to_one() -> None:
    stories = Stories()
    stories.begin(plateau(0))
    for move in (
        step(0, 310, at_s=5),
        step(310, 0, at_s=10),
        step(0, 616.7, at_s=15, took_s=14),
        step(616.7, 0, at_s=45),
    ):
        stories.step(move, CASE)
        chances = [on(stories, load) for load in Load]
        assert sum(chances) == pytest.approx(1.0)
        assert len(stories.all) > 1


def test_a_chance_is_a_share_of_the_weights() -> None:
    stories = stories_of((0.0, Scene()), (math.log(3), Scene(Load.VESSEL)))
    assert on(stories, Load.NOTHING) == pytest.approx(0.75)
    assert on(stories, Load.VESSEL) == pytest.approx(0.25)


def test_a_scale_begins_bare_or_with_a_pitcher_on_it() -> None:
    stories = Stories()
    stories.begin(plateau(12))
    assert {(s.scene.load, s.scene.bare_mg, s.scene.empty_mg) for s in stories.all} == {
        (Load.NOTHING, mg(12), None),
        (Load.PITCHER, None, mg(12)),
    }
    assert on(stories, Load.NOTHING) > on(stories, Load.PITCHER)


# ---------------------------------------------------------------- twins, limits


def test_twins_are_merged_and_are_as_likely_together() -> None:
    stories = stories_of(
        (0.0, Scene(bare_mg=0)), (0.0, Scene(bare_mg=300)), (1.0, Scene(Load.VESSEL, bare_mg=0))
    )
    stories.think(lambda scene: (scene, 0.0))
    assert len(stories.all) == 2
    assert on(stories, Load.NOTHING) == pytest.approx(2 / (2 + math.exp(-1)))


def test_twins_that_are_likelier_together_than_any_other_come_first() -> None:
    stories = stories_of(
        (0.0, Scene(Load.VESSEL)), (0.1, Scene(bare_mg=0)), (0.1, Scene(bare_mg=300))
    )
    stories.think(lambda scene: (scene, 0.0))
    assert stories.best.load is Load.NOTHING
    assert [story.cost for story in stories.all] == pytest.approx([0.0, math.log(2) - 0.1])


def test_scenes_within_a_drip_of_each_other_are_twins() -> None:
    def scene(off_mg: int) -> Scene:
        drawn = msgspec.structs.replace(addition_of(WAX, 500), net_mg=mg(500) + off_mg)
        pitcher = Scene(Load.PITCHER, 40_000 + off_mg, PITCHER_MG + off_mg, open=drawn)
        return pitcher.but(load=Load.THING, under=pitcher)

    for off_mg, kept in ((1_400, 1), (1_600, 2)):
        stories = stories_of((0.0, scene(0)), (0.0, scene(off_mg)))
        stories.think(lambda each: (each, 0.0))
        assert len(stories.all) == kept


def test_scenes_that_differ_in_what_matters_are_no_twins() -> None:
    bare = Scene(bare_mg=0)
    different = [
        bare,
        bare.but(load=Load.VESSEL),
        bare.but(bare_mg=mg(5)),
        bare.but(bare_mg=None),
        bare.but(filled=1),
        bare.but(stage=Stage.POUR),
        bare.but(pitcher=2),
        bare.but(apart_mg=mg(49)),
        bare.but(away_mg=mg(900)),
        bare.but(masses=Masses(pitcher_mg=PITCHER_MG)),
        bare.but(made=(addition_of(WAX, 500),)),
        bare.but(made=(addition_of(WAX, 510),)),
        bare.but(made=(addition_of(FRAGRANCE, 500),)),
        bare.but(open=addition_of(WAX, 500)),
        bare.but(under=bare),
        bare.but(under=bare.but(load=Load.VESSEL)),
    ]
    for one, other in itertools.combinations(different, 2):
        stories = stories_of((0.0, one), (0.0, other))
        stories.think(lambda scene: (scene, 0.0))
        assert len(stories.all) == 2, (one, other)


def test_unlikely_scenes_are_given_up() -> None:
    def say(scene: Scene) -> tuple[Scene, float]:
        return scene, 0.0 if scene.load is Load.NOTHING else UNLIKELY + 0.1

    stories = stories_of((0.0, Scene()), (0.0, Scene(Load.VESSEL)))
    stories.think(say)
    assert [story.scene.load for story in stories.all] == [Load.NOTHING]


def test_the_likeliest_costs_nothing_and_no_more_than_so_many_are_followed() -> None:
    stories = stories_of(*((place * 0.1, Scene(filled=place)) for place in range(MOST + 6)))
    stories.think(lambda scene: (scene, 2.0))
    assert [story.scene.filled for story in stories.all] == list(range(MOST))
    assert stories.all[0].cost == pytest.approx(0.0)
    assert stories.all[3].cost == pytest.approx(0.3)


def test_what_a_person_says_turns_the_scenes() -> None:
    stories = stories_of((0.0, Scene(Load.VESSEL)), (1.0, Scene()))
    stories.think(lambda scene: (scene, 5.0 if scene.load is Load.VESSEL else 0.0))
    assert stories.best.load is Load.NOTHING


# ---------------------------------------------------------------- what the next step tells


def after_zero() -> Stories:
    """Wax was drawn into a pitcher; then the display went to zero."""
    stories = stories_of((0.0, with_wax()))
    stories.step(step(926.7, 0, at_s=60), CASE)
    return stories


def test_a_display_at_zero_leaves_open_whether_it_was_tared_or_lifted() -> None:
    stories = after_zero()
    assert 0.1 < on(stories, Load.PITCHER) < 0.9
    assert 0.1 < on(stories, Load.NOTHING) < 0.9
    assert not stories.surely_on(Load.PITCHER)


def test_fragrance_from_zero_tells_that_the_pitcher_was_tared() -> None:
    stories = after_zero()
    stories.step(step(0, 49.3, at_s=80, took_s=8), CASE)
    assert stories.surely_on(Load.PITCHER)
    assert (stories.best.fragrance_mg, stories.best.empty_mg) == (mg(49.3), mg(-616.7))


def test_the_pitchers_mass_from_zero_tells_that_it_was_lifted() -> None:
    stories = after_zero()
    stories.step(step(0, 926.7, at_s=80), CASE)
    assert stories.surely_on(Load.PITCHER)
    assert (stories.best.wax_mg, stories.best.empty_mg) == (mg(616.7), PITCHER_MG)


def test_a_fall_below_zero_tells_that_the_pitcher_was_tared() -> None:
    stories = after_zero()
    stories.step(step(0, -926.7, at_s=80), CASE)
    assert stories.surely_on(Load.NOTHING)
    assert stories.best.bare_mg == mg(-926.7)
    assert stories.best.away_mg == mg(926.7)


def test_what_follows_is_the_less_likely_poured_the_more_at_once_it_came() -> None:
    def cost(took_s: float) -> float:
        found = following(with_wax(), step(926.7, 976, at_s=80, took_s=took_s), CASE)
        return min(cost for scene, cost in found if scene.fragrance_mg is not None)

    assert cost(8) + 1.0 < cost(0)


# ---------------------------------------------------------------- things


def test_a_thing_is_the_less_likely_the_longer_it_lies_there() -> None:
    bare = Scene(bare_mg=0)
    laid = bare.but(load=Load.THING, under=bare, laid_us=us(10))
    stories = stories_of((0.0, laid), (2.0, Scene(Load.VESSEL, 0, mg(150))))
    stories.rest(plateau(150, 10, 12))
    sooner, likeliest = on(stories, Load.THING), stories.best
    stories.rest(plateau(150, 10, 30))
    assert on(stories, Load.THING) < sooner
    assert (likeliest.load, stories.best.load) == (Load.THING, Load.VESSEL)


def test_what_lies_on_the_pitcher_leaves_it_standing() -> None:
    under = with_wax()
    laid = under.but(load=Load.THING, under=under, under_mg=mg(926.7))
    assert stories_of((0.0, laid)).surely_on(Load.PITCHER)


# ---------------------------------------------------------------- while it rises


def rising(from_g: float, by_g: float, lasted_s: float) -> Motion:
    before = plateau(from_g, 115, 120)
    return Motion(before, mg(from_g + by_g), us(120 + lasted_s), 620, abrupt=False)


def test_a_slow_rise_into_the_waxed_pitcher_is_fragrance_long_before_it_is_all() -> None:
    scene = with_wax()
    found = stories_of((0.0, scene)).rising(rising(926.7, 20, 3), CASE)
    assert found is not None
    assert found.pour.key == Key(FRAGRANCE, 1)
    assert found.chance > 0.8


def test_a_rise_on_an_empty_pitcher_is_wax() -> None:
    scene = Scene(Load.PITCHER, 0, PITCHER_MG)
    found = stories_of((0.0, scene)).rising(rising(310, 80, 3), CASE)
    assert found is not None
    assert found.pour.key == Key(WAX, 1)
    assert found.start == plateau(310, 115, 120)


def test_of_a_rise_that_was_told_already_nothing_more_is_found() -> None:
    stories, more = stories_of((0.0, with_wax())), rising(926.7, 20, 3)
    assert stories.rising(more, CASE, {Key(FRAGRANCE, 1)}) is None
    assert stories.rising(more, CASE, {Key(WAX, 1)}) == stories.rising(more, CASE)


def test_a_rise_is_explained_anew_once_a_rest_has_changed_the_scenes() -> None:
    stories, more = stories_of((0.0, with_wax())), rising(926.7, 20, 3)
    before = stories.rising(more, CASE)
    stories.rest(plateau(700, 110, 120))  # the wax turned out to be far from its mark
    after = stories.rising(more, CASE)
    assert before is not None
    assert after is not None
    assert (before.pour.key, after.pour.key) == (Key(FRAGRANCE, 1), Key(WAX, 1))


def test_a_rise_that_goes_on_with_what_is_open_began_where_that_did() -> None:
    scene = with_wax(400.0).but(stage=Stage.WAX)
    before = plateau(710, 9, 11)
    ladle = Motion(before, mg(770), us(13), 66, abrupt=False)
    found = stories_of((0.0, scene)).rising(ladle, CASE)
    assert found is not None
    assert scene.open is not None
    assert (found.pour.key, found.start) == (Key(WAX, 1), scene.open.start)


def test_a_rise_is_surer_the_longer_it_is_no_container() -> None:
    scene = Scene(Load.PITCHER, 0, PITCHER_MG)
    stories = stories_of((0.0, scene), (0.5, Scene(bare_mg=mg(310))))
    chances = []
    for lasted_s in (0.5, 2.0, 4.0):
        found = stories.rising(rising(310, 60, lasted_s), CASE)
        assert found is not None
        chances.append(found.chance)
    assert chances[0] < chances[1] < chances[2]


def test_where_nothing_can_be_poured_no_rise_is_a_pour() -> None:
    scene = with_wax().but(stage=Stage.POUR)
    assert stories_of((0.0, scene)).rising(rising(926.7, 20, 3), CASE) is None


# ---------------------------------------------------------------- a tare that nobody saw rest


def test_a_scale_that_went_from_a_load_to_a_fill_was_tared_on_the_way() -> None:
    empty = Scene(Load.VESSEL, 0, VESSEL_MG, stage=Stage.POUR)
    stories = stories_of((0.0, empty))
    stories.step(step(180, 220, took_s=9.0), CASE)
    filled = stories.best.find(Key(FILL, 1, 1))
    assert filled is not None
    assert (filled.net_mg, stories.best.bare_mg) == (mg(220), -VESSEL_MG)


def test_a_fill_on_top_of_its_vessel_was_not_tared_on_the_way() -> None:
    empty = Scene(Load.VESSEL, 0, VESSEL_MG, stage=Stage.POUR)
    stories = stories_of((0.0, empty))
    stories.step(step(180, 400, took_s=9.0), CASE)
    filled = stories.best.find(Key(FILL, 1, 1))
    assert filled is not None
    assert (filled.net_mg, stories.best.bare_mg) == (mg(220), 0)
