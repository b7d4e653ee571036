"""What turns out otherwise is taken back; what is only half sure waits."""

import msgspec
from scale_steps import FILL, FRAGRANCE, PITCHER_MG, WAX, addition_of, mg, plateau, us
from told_scenes import Told, pitcher, resting, wax

from collector.additions import Key
from collector.expectations import Stage
from collector.findings import Begun, Mistaken, Tipped, Weighed
from collector.scene import Load, Scene
from collector.telling import Seen

# ---------------------------------------------------------------- taken back


def test_what_turns_out_otherwise_is_taken_back() -> None:
    told = Told()
    drawn = wax(616.7)
    as_scent = pitcher(addition_of(FRAGRANCE, 49.3, base_g=926.7, gone_s=40), drawn)
    told.tell(plateau(976, 40, 45), (0.0, as_scent))
    assert [each.kind for each in told.weighed()] == [WAX, FRAGRANCE]
    as_wax = pitcher(wax(666.0, gone_s=40))
    mistaken, weighed = told.tell(plateau(976, 40, 55), (0.0, as_wax))
    assert mistaken == Mistaken(FRAGRANCE, 1, None, weighed=True, only=True)
    assert isinstance(weighed, Weighed)
    assert (weighed.kind, weighed.mass_mg, weighed.revision) == (WAX, mg(666), 1)
    assert told.tell(plateau(976, 40, 56), (0.0, as_wax)) == []


def test_what_may_yet_be_true_is_not_taken_back() -> None:
    told = Told()
    as_scent = pitcher(addition_of(FRAGRANCE, 49.3, base_g=926.7, gone_s=40), wax(616.7))
    as_wax = pitcher(wax(666.0, gone_s=40))
    told.tell(plateau(976, 40, 45), (0.0, as_scent))
    found = told.tell(plateau(976, 40, 46), (0.0, as_wax), (0.5, as_scent))
    assert not any(isinstance(item, Mistaken) for item in found)


def test_a_fill_that_had_only_begun_is_taken_back() -> None:
    told = Told()
    told.teller.begin(Key(FILL, 1, 1), plateau(180, 2, 6), Seen(us(8), 41), apart=False)
    empty = Scene(Load.VESSEL, 0, mg(180), stage=Stage.POUR)
    found = told.tell(plateau(181, 9, 12), (0.0, empty))
    assert found == [Mistaken(FILL, 1, 1, weighed=False, only=True)]
    assert Key(FILL, 1, 1) not in told.teller.told


def test_a_fill_whose_mass_was_told_is_taken_back_with_it() -> None:
    told = Told()
    fills = [addition_of(FILL, 220, base_g=180, vessel=number, gone_s=10) for number in (1, 2)]
    both = Scene(Load.VESSEL, 0, mg(180), stage=Stage.POUR, made=(fills[0],), open=fills[1])
    told.tell(plateau(400, 10, 13), (0.0, both))
    assert told.progress.filled == 2
    one = both.but(made=(), open=fills[0])
    assert told.tell(plateau(400, 10, 14), (0.0, one)) == [
        Mistaken(FILL, 1, 2, weighed=True, only=False)
    ]
    assert told.progress.filled == 1


def test_one_motion_is_one_thing_only() -> None:
    told = Told()
    before = plateau(180, 2, 6)
    told.teller.begin(Key(FRAGRANCE, 1), before, Seen(us(8), 41), apart=False)
    mistaken, begun = told.teller.begin(Key(FILL, 1, 1), before, Seen(us(9), 46), apart=False)
    assert mistaken == Mistaken(FRAGRANCE, 1, None, weighed=False, only=True)
    assert isinstance(begun, Begun)
    assert begun.kind is FILL


def test_an_addition_that_began_at_another_time_is_told_anew() -> None:
    told = Told()
    told.tell(resting(616.7), (0.0, pitcher(wax(616.7))))  # it was the pitcher that came
    later = addition_of(WAX, 600, base_g=926.7, gone_s=40)
    found = told.tell(plateau(1526.7, 40, 45), (0.0, pitcher(later)))
    assert [type(item) for item in found] == [Mistaken, Begun, Weighed]
    assert told.weighed()[-1].revision == 1


def test_what_was_told_is_held_while_it_is_no_more_than_half_unlikely() -> None:
    told, as_scent, as_wax = scent_or_wax()
    told.tell(plateau(976, 40, 45), (0.0, as_wax))
    told.found.clear()
    told.tell(plateau(976, 40, 60), (0.0, as_scent), (0.5, as_wax))
    assert told.found == []
    told.tell(plateau(976, 40, 60), (0.0, as_scent), (4.0, as_wax))
    assert [each.kind for each in told.weighed()] == [WAX, FRAGRANCE]


def test_a_tip_that_never_was_is_forgotten_without_a_word() -> None:
    told = Told()
    tip = Key(FRAGRANCE, 1, None, tipped=True)
    found = told.teller.begin(tip, plateau(926.7, 50, 55), Seen(us(57), 286), apart=False)
    assert found == [Tipped(1, us(55), None)]
    scene = Scene(Load.PITCHER, 0, PITCHER_MG, stage=Stage.BLEND)
    assert told.tell(plateau(926.7, 60, 64), (0.0, scene)) == []
    assert tip not in told.teller.told


# ---------------------------------------------------------------- half sure


def scent_or_wax() -> tuple[Told, Scene, Scene]:
    """Wax was told; then 49.3 g came, which may be fragrance or more of the wax."""
    told = Told()
    told.tell(resting(616.7), (0.0, pitcher(wax(616.7))))
    told.found.clear()
    scent = addition_of(FRAGRANCE, 49.3, base_g=926.7, gone_s=40)
    return told, pitcher(scent, wax(616.7)), pitcher(wax(666.0, gone_s=40))


def test_what_is_only_half_sure_waits_and_is_told_later() -> None:
    told, as_scent, as_wax = scent_or_wax()
    both = ((0.0, as_scent), (1.0, as_wax))  # the first has a chance of 0.73
    told.tell(plateau(976, 40, 41), *both)
    told.settle(plateau(976, 40, 41), *both)
    assert told.found == []
    told.tell(plateau(976, 40, 60), *both)
    assert [(each.kind, each.mass_mg) for each in told.weighed()] == [(FRAGRANCE, mg(49.3))]


def test_what_becomes_sure_is_told_at_once() -> None:
    told, as_scent, as_wax = scent_or_wax()
    told.settle(plateau(976, 40, 41), (0.0, as_scent), (1.0, as_wax))
    assert told.found == []
    told.settle(plateau(976, 40, 41), (0.0, as_scent), (5.0, as_wax))
    assert [each.kind for each in told.weighed()] == [FRAGRANCE]


def test_of_what_came_at_once_doubt_lasts_less_long() -> None:
    told, as_scent, as_wax = scent_or_wax()
    told.tell(plateau(976, 40, 42), (0.0, as_scent), (1.0, as_wax))
    assert told.weighed() == []
    at_once = msgspec.structs.replace(as_scent.open, at_once=True) if as_scent.open else None
    sudden = as_scent.but(open=at_once)
    told.tell(plateau(976, 40, 42), (0.0, sudden), (1.0, as_wax))
    assert [each.kind for each in told.weighed()] == [FRAGRANCE]


def test_what_is_no_likelier_than_something_else_is_never_told() -> None:
    told = Told()
    scenes = [
        (0.1 * place, pitcher(wax(grams, gone_s=40)))
        for place, grams in enumerate((590.0, 600.0, 616.7))
    ]
    told.tell(plateau(926.7, 40, 140), *scenes)
    assert told.found == []


def test_scenes_that_hold_nearly_the_same_mass_agree() -> None:
    told = Told()
    told.tell(resting(616.7), (0.0, pitcher(wax(616.7))), (0.0, pitcher(wax(615.5))))
    assert len(told.weighed()) == 1
