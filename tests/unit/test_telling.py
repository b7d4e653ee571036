"""What the scenes agree on is told once, and taken back where it turns out otherwise."""

import msgspec
import pytest
from scale_steps import FILL, FRAGRANCE, PITCHER_MG, WAX, addition_of, mg, plateau, targets_of, us
from told_scenes import Told, pitcher, resting, wax

from collector.additions import Key
from collector.expectations import Stage
from collector.findings import Begun, Tipped, Weighed
from collector.scene import Load, Scene
from collector.telling import Seen

# ---------------------------------------------------------------- once


def test_a_fact_is_told_once_however_long_it_rests() -> None:
    told, scene = Told(), pitcher(wax(616.7))
    begun, weighed = told.tell(resting(616.7), (0.0, scene))
    assert isinstance(begun, Begun)
    assert isinstance(weighed, Weighed)
    assert (weighed.kind, weighed.mass_mg, weighed.revision) == (WAX, mg(616.7), 0)
    assert told.tell(resting(616.7, seconds=8), (0.0, scene)) == []
    assert told.settle(resting(616.7, seconds=9), (0.0, scene)) == []


def test_a_weighing_moves_the_progress() -> None:
    told = Told()
    told.tell(resting(600, seconds=9), (0.0, pitcher(wax(600))))
    assert (told.progress.wax_mg, told.progress.stage) == (mg(600), Stage.FRAGRANCE)


def test_a_weighing_rests_on_the_readings_from_before_it_until_it_rests() -> None:
    told = Told()
    told.tell(resting(616.7), (0.0, pitcher(wax(616.7))))
    (weighed,) = told.weighed()
    assert (weighed.began_us, weighed.settled_us) == (us(5), us(10))
    evidence = weighed.evidence
    assert (evidence.channel, evidence.from_us, evidence.to_us) == ("scale", 0, us(13))
    assert evidence.readings == 13 * 5 + 1


def test_that_it_began_is_told_before_it_has_come_to_all() -> None:
    told = Told()
    (begun,) = told.tell(resting(300), (0.0, pitcher(wax(300))))
    assert isinstance(begun, Begun)
    assert (begun.kind, begun.at_us) == (WAX, us(5))
    (weighed,) = told.tell(resting(616.7, 20), (0.0, pitcher(wax(616.7, gone_s=20))))
    assert isinstance(weighed, Weighed)


def test_what_is_seen_rising_begins_only_once() -> None:
    told, seen = Told(), Seen(us(8), 41)
    key = Key(FILL, 1, 1)
    (begun,) = told.teller.begin(key, plateau(180, 2, 6), seen, apart=False)
    assert isinstance(begun, Begun)
    assert (begun.kind, begun.vessel, begun.at_us) == (FILL, 1, us(6))
    assert (begun.evidence.to_us, begun.evidence.readings) == (us(8), 31)
    assert told.progress.stage is Stage.POUR
    assert told.teller.begin(key, plateau(180, 2, 6), seen, apart=False) == []


def test_what_begins_in_a_later_pitcher_turns_to_it() -> None:
    told = Told(vessels=7)
    told.teller.begin(Key(WAX, 2), plateau(310, 2, 6), Seen(us(8), 41), apart=False)
    assert told.progress.pitcher == 2


# ---------------------------------------------------------------- rests


def test_what_has_rested_too_briefly_waits() -> None:
    told, scene = Told(), pitcher(wax(616.7, rest_s=1))
    told.tell(resting(616.7, seconds=1), (0.0, scene))
    assert told.weighed() == []
    told.tell(resting(616.7, seconds=2), (0.0, scene))
    assert len(told.weighed()) == 1


def test_what_leaves_is_told_as_it_last_rested() -> None:
    told = Told()
    told.settle(resting(616.7, seconds=1), (0.0, pitcher(wax(616.7, rest_s=1))))
    assert [each.mass_mg for each in told.weighed()] == [mg(616.7)]


def test_a_drip_is_never_told_even_when_it_leaves() -> None:
    told = Told()
    told.settle(resting(100, seconds=30), (0.0, pitcher(wax(100, rest_s=30))))
    assert told.weighed() == []


def test_wax_lifted_before_it_is_all_waits_for_the_rest() -> None:
    told = Told()
    lifted = pitcher(wax(400)).closed().but(load=Load.NOTHING)
    told.tell(plateau(0, 15, 25), (0.0, lifted))
    assert told.weighed() == []
    whole = pitcher(wax(616.7)).closed().but(load=Load.NOTHING)
    told.tell(plateau(0, 35, 45), (0.0, whole))
    assert [each.mass_mg for each in told.weighed()] == [mg(616.7)]


def test_wax_lifted_before_it_is_all_counts_once_the_next_thing_comes() -> None:
    told = Told()
    lifted = pitcher(wax(400)).closed().but(load=Load.NOTHING)
    told.settle(plateau(0, 15, 25), (0.0, lifted))
    assert [each.mass_mg for each in told.weighed()] == [mg(400)]


def test_wax_that_was_left_short_counts_once_fragrance_is_on_top() -> None:
    told = Told()
    scent = addition_of(FRAGRANCE, 32.0, base_g=710, gone_s=40)
    told.tell(plateau(742, 40, 45), (0.0, pitcher(scent, wax(400))))
    assert [each.mass_mg for each in told.weighed()] == [mg(400), mg(32)]


# ---------------------------------------------------------------- what it should be


def test_each_weighing_says_what_it_should_have_come_to() -> None:
    told = Told()
    targets = targets_of()
    scent = addition_of(FRAGRANCE, 48.0, base_g=910, gone_s=40)
    told.tell(plateau(958, 40, 45), (0.0, pitcher(scent, wax(600))))
    fill = addition_of(FILL, 218, base_g=180, vessel=1, gone_s=90)
    vessel = Scene(Load.VESSEL, 0, mg(180), stage=Stage.POUR, filled=1, open=fill)
    told.tell(plateau(398, 90, 95), (0.0, vessel.but(made=(wax(600), scent))))
    assert [each.expected for each in told.weighed()] == [
        targets.wax(1),
        targets.fragrance(mg(600)),
        targets.fill(),
    ]


def test_fragrance_without_wax_should_be_that_of_the_planned_wax() -> None:
    told = Told()
    scent = addition_of(FRAGRANCE, 49.3, base_g=64, gone_s=40, apart=True)
    beaker = Scene(Load.BEAKER, 0, mg(64), stage=Stage.BLEND, open=scent)
    told.tell(plateau(113.3, 40, 45), (0.0, beaker))
    (weighed,) = told.weighed()
    assert weighed.expected == targets_of().fragrance(targets_of().wax(1).target_mg)


# ---------------------------------------------------------------- revisions


def test_a_top_up_is_a_revision() -> None:
    told = Told()
    told.tell(resting(560, seconds=9), (0.0, pitcher(wax(560))))
    told.tell(resting(616.7, 30), (0.0, pitcher(wax(616.7, gone_s=30))))
    assert [(w.mass_mg, w.revision) for w in told.weighed()] == [(mg(560), 0), (mg(616.7), 1)]
    assert len([item for item in told.found if isinstance(item, Begun)]) == 1
    assert told.progress.wax_mg == mg(616.7)


def test_a_tremble_is_no_revision_and_last_drops_are() -> None:
    told = Told()
    told.tell(resting(616.7), (0.0, pitcher(wax(616.7))))
    told.tell(resting(616.8, 14), (0.0, pitcher(wax(616.8, gone_s=14))))
    assert len(told.weighed()) == 1
    told.tell(resting(617.0, 18), (0.0, pitcher(wax(617.0, gone_s=18))))
    assert [each.mass_mg for each in told.weighed()] == [mg(616.7), mg(617.0)]


def test_what_changes_a_little_much_later_is_drift() -> None:
    told = Told()
    told.tell(resting(616.7), (0.0, pitcher(wax(616.7))))
    told.tell(resting(617.0, 60), (0.0, pitcher(wax(617.0, gone_s=60))))
    assert len(told.weighed()) == 1


def test_what_rested_only_for_a_moment_before_it_left_revises_nothing() -> None:
    told = Told()
    told.tell(resting(616.7), (0.0, pitcher(wax(616.7))))

    def lift(rest_s: float) -> Scene:
        more = wax(620, gone_s=14, rest_s=rest_s)
        return pitcher(more).closed().but(load=Load.NOTHING)

    told.settle(plateau(0, 16, 18), (0.0, lift(1.0)))
    assert [each.mass_mg for each in told.weighed()] == [mg(616.7)]
    told.settle(plateau(0, 16, 18), (0.0, lift(1.3)))
    assert [each.mass_mg for each in told.weighed()] == [mg(616.7), mg(620)]


# ---------------------------------------------------------------- fills, fragrance apart


def test_fills_that_the_pitcher_lost_in_one_go_are_told_one_by_one() -> None:
    told = Told()
    lost = msgspec.structs.replace(
        addition_of(FILL, 439, vessel=1), lost=2, base_mg=mg(976), rested=plateau(537, 90, 95)
    )
    scene = Scene(Load.PITCHER, 0, PITCHER_MG, stage=Stage.POUR, filled=2, open=lost)
    told.tell(plateau(537, 90, 95), (0.0, scene))
    assert [(each.vessel, each.mass_mg) for each in told.weighed()] == [
        (1, mg(219.5)),
        (2, mg(219.5)),
    ]
    assert told.progress.filled == 2


@pytest.mark.parametrize("apart", [True, False])
def test_a_weighing_says_whether_it_is_apart(apart: bool) -> None:
    told = Told()
    fragrance = addition_of(FRAGRANCE, 49.3, base_g=64, gone_s=40, apart=apart)
    scene = Scene(Load.BEAKER, 0, mg(64), stage=Stage.BLEND, made=(wax(616.7),), open=fragrance)
    told.tell(plateau(113.3, 40, 45), (0.0, scene))
    assert told.weighed()[-1].apart is apart
    begun = [item for item in told.found if isinstance(item, Begun)]
    assert begun[-1].apart is apart


def test_what_is_tipped_in_is_told_when_it_begins_and_when_it_rests() -> None:
    told = Told()
    tip = msgspec.structs.replace(
        addition_of(FRAGRANCE, 49.3, base_g=926.7, gone_s=60),
        key=Key(FRAGRANCE, 1, None, tipped=True),
    )
    scented = addition_of(FRAGRANCE, 49.3, base_g=64, gone_s=40, apart=True)
    scene = pitcher(tip, wax(616.7), scented)
    told.tell(plateau(976, 60, 64), (0.0, scene))
    assert [item for item in told.found if isinstance(item, Tipped)] == [
        Tipped(1, us(55), None),
        Tipped(1, us(55), us(60)),
    ]
    assert told.tell(plateau(976, 60, 65), (0.0, scene)) == []


# ---------------------------------------------------------------- the next pitcher


def test_the_next_pitcher_is_turned_to_once_that_is_sure() -> None:
    told = Told(vessels=7)
    here, there = Scene(stage=Stage.POUR, bare_mg=0), Scene(pitcher=2, bare_mg=0)
    told.tell(plateau(0, 10, 13), (0.0, there), (0.5, here))
    assert told.progress.pitcher == 1
    told.tell(plateau(0, 10, 14), (0.0, there), (4.0, here))
    assert (told.progress.pitcher, told.progress.stage) == (2, Stage.WAX)
