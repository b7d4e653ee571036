"""What the scenes agree on is told once, and taken back where it turns out otherwise."""

import msgspec
import pytest
from scale_steps import FILL, FRAGRANCE, PITCHER_MG, WAX, addition_of, mg, plateau, targets_of, us

from collector.additions import Addition, Key
from collector.expectations import Stage
from collector.findings import Begun, Finding, Mistaken, Tipped, Weighed
from collector.progress import Progress
from collector.scene import Load, Scene
from collector.stories import Stories, Story
from collector.telling import Seen, Teller
from collector.weighings import Plateau

BAND_MG = 400


class Told:
    """Tells what some scenes agree on, and keeps all findings."""

    def __init__(self, vessels: int = 3) -> None:
        self.progress = Progress(targets_of(vessels=vessels))
        self.teller = Teller(self.progress, "scale")
        self.stories = Stories()
        self.found: list[Finding] = []

    def tell(self, rested: Plateau, *scenes: tuple[float, Scene]) -> list[Finding]:
        """Tell what is sure; each scene with its cost, the likeliest first."""
        return self._keep(self.teller.tell(self._of(*scenes), rested, BAND_MG))

    def settle(self, rested: Plateau, *scenes: tuple[float, Scene]) -> list[Finding]:
        return self._keep(self.teller.settle(self._of(*scenes), rested, BAND_MG))

    def _of(self, *scenes: tuple[float, Scene]) -> Stories:
        self.stories.all = [Story(scene, cost) for cost, scene in scenes]
        return self.stories

    def _keep(self, findings: list[Finding]) -> list[Finding]:
        self.found += findings
        return findings

    def weighed(self) -> list[Weighed]:
        return [item for item in self.found if isinstance(item, Weighed)]


def wax(grams: float, *, gone_s: float = 10.0, rest_s: float = 3.0) -> Addition:
    """Wax that was drawn from the fifth to the tenth second, and its latest rest."""
    drawn = addition_of(WAX, grams, base_g=310, gone_s=10)
    rested = plateau(310 + grams, gone_s, gone_s + rest_s)
    return msgspec.structs.replace(drawn, rested=rested, gone_us=us(gone_s))


def pitcher(opened: Addition, *made: Addition) -> Scene:
    stage = Stage.FRAGRANCE if opened.key.kind is WAX else Stage.BLEND
    return Scene(Load.PITCHER, 0, PITCHER_MG, stage=stage, open=opened, made=made)


def resting(grams: float, from_s: float = 10.0, seconds: float = 3.0) -> Plateau:
    return plateau(310 + grams, from_s, from_s + seconds)


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
