"""Weighings out of a scripted scale; the many styles of working are in the strangers' feeds."""

import pytest
from stranger_round import AMBER, TIN

from collector.batch_sheet import batch_sheet
from collector.conclusions import WeighingKind
from collector.expectations import Stage
from collector.findings import Begun, Contradicted, Finding, Weighed
from collector.phases import Edge, Phase
from collector.progress import Progress
from collector.readings import Reading
from collector.recognizer import Recognizer
from collector.targets import Targets

FIFTH_US = 200_000


class Scale:
    """Moves one scale and keeps what the recognizer finds."""

    def __init__(self, vessels: int = 3) -> None:
        self.progress = Progress(Targets(AMBER, batch_sheet(AMBER, vessels)))
        self.recognizer = Recognizer(self.progress, "scale")
        self.found: list[Finding] = []
        self._now_us = 0
        self._level_mg = 0

    def hold(self, seconds: float) -> None:
        for _ in range(round(seconds * 5)):
            self.show(self._level_mg)

    def jump(self, to_mg: int, seconds: float = 3) -> None:
        self._level_mg = to_mg
        self.hold(seconds)

    def pour(self, by_mg: int, seconds: float, rest_s: float = 3) -> None:
        start_mg, steps = self._level_mg, round(seconds * 5)
        for step in range(1, steps + 1):
            self.show(start_mg + by_mg * step // steps)
        self._level_mg = start_mg + by_mg
        self.hold(rest_s)

    def show(self, value_mg: int) -> None:
        self._now_us += FIFTH_US
        self.found += self.recognizer.read(Reading("scale", self._now_us, value_mg))

    def weighed(self) -> list[Weighed]:
        return [item for item in self.found if isinstance(item, Weighed)]


def test_an_addition_begins_where_the_scale_still_rested() -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(616_700, 14)
    begun = next(item for item in scale.found if isinstance(item, Begun))
    assert (begun.kind, begun.pitcher, begun.vessel) == (WeighingKind.WAX, 1, None)
    assert abs(begun.at_us - 3_000_000) <= FIFTH_US


def test_a_weighing_says_on_which_readings_it_rests() -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(616_700, 14)
    (wax,) = scale.weighed()
    assert wax.evidence.channel == "scale"
    assert wax.evidence.from_us <= 3_000_000
    assert wax.evidence.to_us >= 17_000_000
    assert wax.evidence.readings == 1 + (wax.evidence.to_us - wax.evidence.from_us) // FIFTH_US


def test_the_fragrance_target_follows_the_wax_really_drawn() -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(600_000, 14, rest_s=6)
    assert scale.progress.expected(WeighingKind.FRAGRANCE).target_mg == 48_000  # 8 % of 600 g
    assert scale.progress.stage is Stage.FRAGRANCE


def test_a_top_up_is_a_revision_of_the_same_weighing() -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(560_300, 14)
    scale.hold(3)
    scale.pour(56_400, 4)
    first, second = scale.weighed()
    assert (first.mass_mg, first.revision) == (560_300, 0)
    assert (second.mass_mg, second.revision) == (616_700, 1)


def test_what_rests_only_briefly_counts_when_its_vessel_leaves() -> None:
    scale = Scale(vessels=1)
    scale.hold(3)
    scale.recognizer.mark(Phase.POUR, Edge.BEGIN)
    scale.jump(180_000)
    scale.pour(213_300, 7, rest_s=1)
    assert scale.weighed() == []
    scale.jump(0)
    (fill,) = scale.weighed()
    assert (fill.kind, fill.vessel, fill.mass_mg) == (WeighingKind.FILL, 1, 213_300)


def test_a_drip_is_no_weighing() -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(6_300, 3, rest_s=10)
    assert scale.weighed() == []


def test_closing_accepts_what_still_rests() -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(400_300, 10, rest_s=1)
    assert scale.weighed() == []
    (wax,) = scale.recognizer.finish()
    assert isinstance(wax, Weighed)
    assert wax.mass_mg == 400_300


def test_the_base_is_the_display_without_what_is_weighed_now() -> None:
    scale = Scale()
    scale.hold(3)
    scale.jump(310_000)
    assert scale.recognizer.base_mg == 310_000
    scale.pour(616_700, 14)
    assert scale.recognizer.base_mg == 926_700  # fragrance comes on top of pitcher and wax


def test_a_pitcher_may_stand_on_the_scale_before_the_lot_is_opened() -> None:
    scale = Scale()
    scale.jump(310_000)
    scale.pour(616_700, 14)
    (wax,) = scale.weighed()
    assert (wax.kind, wax.mass_mg) == (WeighingKind.WAX, 616_700)
    assert scale.recognizer.base_mg == 926_700
    assert scale.recognizer.pitcher_rests


def test_a_mark_of_the_pour_moves_the_progress() -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(616_700, 14)
    assert scale.recognizer.mark(Phase.POUR, Edge.BEGIN) == []
    assert scale.progress.stage is Stage.POUR


def test_a_mark_of_the_fragrance_accepts_the_wax_that_rests() -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(600_000, 14, rest_s=1)
    assert scale.weighed() == []
    (wax,) = scale.recognizer.mark(Phase.ADD_FRAGRANCE, Edge.BEGIN)
    assert isinstance(wax, Weighed)
    assert (wax.kind, wax.mass_mg) == (WeighingKind.WAX, 600_000)


@pytest.mark.parametrize("phase", [Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR])
def test_a_mark_that_the_scale_contradicts_moves_nothing(phase: Phase) -> None:
    scale = Scale()
    scale.hold(3)
    scale.pour(300_000, 8, rest_s=1)
    (contradicted,) = scale.recognizer.mark(phase, Edge.BEGIN)
    assert isinstance(contradicted, Contradicted)
    assert contradicted.phase == phase
    assert (scale.progress.stage, scale.weighed()) == (Stage.WAX, [])
    scale.pour(316_700, 8)
    (wax,) = scale.weighed()
    assert (wax.kind, wax.mass_mg) == (WeighingKind.WAX, 616_700)


def test_filled_vessels_and_the_weighings_move_the_progress() -> None:
    progress = Progress(Targets(TIN, batch_sheet(TIN, 9)))
    assert (progress.vessels_due(1), progress.vessels_due(2)) == (5, 9)
    progress.weighed(WeighingKind.WAX, 560_000, None)
    assert (progress.stage, progress.next_kind) == (Stage.FRAGRANCE, WeighingKind.FRAGRANCE)
    progress.weighed(WeighingKind.FRAGRANCE, 42_000, None)
    assert (progress.stage, progress.next_kind) == (Stage.BLEND, WeighingKind.FILL)
    for vessel in range(1, 6):
        progress.began(WeighingKind.FILL)
        progress.weighed(WeighingKind.FILL, 120_000, vessel)
    assert (progress.stage, progress.filled, progress.pitcher) == (Stage.POUR, 5, 1)


def test_the_next_pitcher_begins_with_its_wax() -> None:
    progress = Progress(Targets(TIN, batch_sheet(TIN, 9)))
    progress.weighed(WeighingKind.WAX, 560_000, None)
    progress.weighed(WeighingKind.FRAGRANCE, 42_000, None)
    progress.weighed(WeighingKind.FILL, 120_000, 5)
    assert progress.more_pitchers
    progress.turn_to(2)
    assert (progress.pitcher, progress.stage) == (2, Stage.WAX)
    assert (progress.wax_mg, progress.fragrance_mg, progress.filled) == (None, None, 5)
    assert not progress.more_pitchers
    assert progress.drawn_mg == batch_sheet(TIN, 9).pitchers[1].wax_mg


def test_a_pitcher_whose_vessels_are_all_filled_gives_way_to_the_next() -> None:
    scale = Scale(vessels=7)
    assert (scale.progress.vessels_due(1), scale.progress.more_pitchers) == (4, True)
    scale.hold(3)
    scale.jump(310_000)
    scale.pour(817_400, 16)
    scale.pour(65_400, 6)
    scale.jump(0)
    for _ in range(4):
        scale.jump(180_000)
        scale.pour(220_000, 8)
        assert scale.progress.pitcher == 1
        scale.jump(0)
    assert [fill.vessel for fill in scale.weighed()[-4:]] == [1, 2, 3, 4]
    assert (scale.progress.pitcher, scale.progress.stage) == (2, Stage.WAX)
