"""A rise that goes on: what is likeliest of all that can be poured, in all scenes."""

import math

from hypothesis import given
from hypothesis import strategies as st
from scale_steps import FRAGRANCE, PITCHER_MG, WAX, addition_of, case_of, mg, plateau, us

from collector.additions import Key
from collector.expectations import Stage
from collector.handlings import gradual
from collector.pourings import Pour, cost_while_rising, pours
from collector.rises import PUT, Rise
from collector.scene import Load, Masses, Scene
from collector.weighings import Motion

CASE = case_of()
BEFORE = plateau(926.7, 115, 120)


def with_wax(grams: float) -> Scene:
    wax = addition_of(WAX, grams, base_g=926.7 - grams, gone_s=110)
    masses = Masses(pitcher_mg=PITCHER_MG)
    return Scene(Load.PITCHER, 0, PITCHER_MG, stage=Stage.FRAGRANCE, open=wax, masses=masses)


SCENES = (
    with_wax(616.7),
    with_wax(420.0),
    Scene(Load.PITCHER, 0, PITCHER_MG),
    Scene(Load.VESSEL, 0, mg(180), stage=Stage.POUR),
    Scene(Load.BEAKER, 0, mg(64), stage=Stage.FRAGRANCE, made=(addition_of(WAX, 616.7),)),
    Scene(bare_mg=0, stage=Stage.BLEND),
    with_wax(616.7).but(stage=Stage.POUR),  # nothing can be poured into this one
)


def rising(by_g: float, lasted_s: float) -> Motion:
    value_mg = BEFORE.value_mg + mg(by_g)
    return Motion(BEFORE, value_mg, BEFORE.to_us + us(lasted_s), 620, abrupt=False)


def all_weights(explained: list[tuple[Scene, float]], motion: Motion) -> list[tuple[float, Pour]]:
    return [
        (math.exp(-cost - cost_while_rising(pour, motion)), pour)
        for scene, cost in explained
        for pour in pours(scene, BEFORE.to_us, CASE)
    ]


EXPLAINED = st.lists(
    st.tuples(st.sampled_from(SCENES), st.floats(0.0, 14.0)), min_size=1, max_size=24
)


@given(explained=EXPLAINED, by_g=st.floats(-5.0, 900.0), lasted_s=st.floats(0.0, 60.0))
def test_the_likeliest_is_likelier_than_all_that_need_not_be_asked(
    explained: list[tuple[Scene, float]], by_g: float, lasted_s: float
) -> None:
    motion = rising(by_g, lasted_s)
    found = Rise(explained, BEFORE, CASE).likeliest(motion)
    weights = all_weights(explained, motion)
    if not weights:
        assert found is None
        return
    assert found is not None
    most, pour = max(weights, key=lambda each: each[0])
    assert (found.weight(motion), found.pour) == (most, pour)


@given(explained=EXPLAINED, by_g=st.floats(1.0, 400.0), lasted_s=st.floats(1.2, 60.0))
def test_its_chance_is_held_against_every_pour_and_against_something_put(
    explained: list[tuple[Scene, float]], by_g: float, lasted_s: float
) -> None:
    motion, rise = rising(by_g, lasted_s), Rise(explained, BEFORE, CASE)
    likeliest = rise.likeliest(motion)
    if likeliest is None:
        return
    key, weights = likeliest.pour.key, all_weights(explained, motion)
    put = sum(math.exp(-cost - PUT - gradual(motion.lasted_us)) for _, cost in explained)
    same = sum(weight for weight, pour in weights if pour.key == key)
    whole = sum(weight for weight, _ in weights) + put
    assert math.isclose(rise.explain(likeliest, motion).chance, same / whole)


def test_of_two_scenes_that_are_as_likely_the_first_one_tells() -> None:
    motion = rising(20, 3)
    twice = [(with_wax(616.7), 0.0), (with_wax(616.7).but(scent_marked=True), 0.0)]
    found = Rise(twice, BEFORE, CASE).likeliest(motion)
    assert found is not None
    assert found.pour.key == Key(FRAGRANCE, 1)
    assert not found.scene.scent_marked
