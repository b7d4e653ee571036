"""Two judgments of one lot side by side, and what is said of them."""

from collections.abc import Sequence

import msgspec
from feed_script import Script
from stranger_round import AMBER, Plan
from stranger_styles import STYLES, work

from api import what_if_words
from collector.display import Display
from collector.event_base import Event
from collector.lot_events import LotClosed, LotOpened, PhaseMarked
from collector.lot_record import LotRecord, record_of
from collector.phases import Edge
from collector.recipes import OwnPhase, Recipe, Window
from collector.replay import Difference, replay, under
from collector.what_if import Change, PhaseLimit, compare, limit_of


def record(journal: Sequence[Event], script: Script) -> LotRecord:
    edges = [event for event in journal if isinstance(event, LotOpened | LotClosed)]
    return record_of([edges[0], *replay(journal, script.readings())[1], *edges[1:]])


def judged(plan: Plan, recipe: Recipe) -> tuple[LotRecord, LotRecord]:
    script = Script()
    work(script, STYLES["nothing tared"], plan)
    return record(script.journal(), script), record(under(script.journal(), recipe), script)


def said(plan: Plan, recipe: Recipe) -> list[str]:
    return list(what_if_words.lines(compare(*judged(plan, recipe)), Display()))


def fill_tolerance(mg: int) -> Recipe:
    vessel = msgspec.structs.replace(AMBER.vessel, tolerance_mg=mg)
    return msgspec.structs.replace(AMBER, vessel=vessel)


def test_the_same_recipe_changes_nothing() -> None:
    assert not compare(*judged(Plan(vessels=2, fill_off_g={1: -7.0}), AMBER))


def test_a_deviation_can_be_new_gone_or_the_same_with_other_numbers() -> None:
    light = Plan(vessels=1, fill_off_g={1: -7.0})
    (gone,) = compare(*judged(light, fill_tolerance(10_000))).deviations
    assert (gone.change, gone.rule) == (Change.GONE, "fill-grams")
    (other,) = compare(*judged(light, fill_tolerance(1_000))).deviations
    assert other.change is Change.OTHER
    slight = Plan(vessels=1, fill_off_g={1: -1.5})
    (new,) = compare(*judged(slight, fill_tolerance(1_000))).deviations
    assert new.change is Change.NEW


def test_vessels_of_which_the_same_is_to_be_said_share_a_line() -> None:
    words = said(Plan(vessels=3, fill_off_g={2: -1.5}), fill_tolerance(1_000))
    target = "target 220.0 g ± 1.0 g instead of 220.0 g ± 2.0 g"
    assert f"vessels 1, 3: 220.0 g, {target}: still within" in words
    assert f"vessel 2: 218.5 g, {target}: off, not within" in words


def test_a_phase_of_which_something_else_is_asked_is_said() -> None:
    cooler = msgspec.structs.replace(AMBER, pour_between=Window(50_000, 55_000))
    words = said(Plan(vessels=1), cooler)
    assert "pour of pitcher 1: 50.0 to 55.0 °C instead of 57.0 to 63.0 °C" in words
    (told,) = [line for line in words if line.startswith("would have been told at ")]
    assert "Pouring too hot: the wax is at 60.0 °C" in told


def test_a_recipe_without_a_stir_has_no_such_phase_and_no_deviation_of_it() -> None:
    unstirred = msgspec.structs.replace(AMBER, stir_at_least_s=None)
    words = said(Plan(vessels=1, stir_s=45.0), unstirred)
    assert "stir of pitcher 1: would not have been a phase of this lot" in words
    assert any(line.startswith("would not have been told: Stirred 45 s") for line in words)


def test_what_a_recipe_asks_of_its_own_phases_is_known() -> None:
    rest = OwnPhase("rest", "stir", at_least_s=60, at_most_s=300)
    own = msgspec.structs.replace(AMBER, own_phases=(rest,))
    assert limit_of(own, "rest") == PhaseLimit(None, 60, 300)
    assert (
        what_if_words.limit(limit_of(own, "rest"), Display()) == "at least 60 s and at most 300 s"
    )
    assert what_if_words.limit(limit_of(own, "cure"), Display()) == "at least 14 days"
    assert what_if_words.limit(limit_of(own, "draw wax"), Display()) == "no limit"


def test_a_difference_is_said_by_kind_and_time_or_by_its_fields() -> None:
    second = 1_795_600_000_000_000  # 09:46:40 UTC
    mark = PhaseMarked(at_us=second, bench="b", lot="1", phase="stir", edge=Edge.BEGIN)
    closed = LotClosed(at_us=second, bench="b", lot="1")
    assert what_if_words.difference(Difference(3, mark, closed)) == (
        "event 3 is kept as phase-marked at 09:46:40 stir, judged now it is lot-closed at 09:46:40"
    )
    assert what_if_words.difference(Difference(4, None, closed)).startswith(
        "event 4 is kept as missing, judged now it is"
    )
    poured = msgspec.structs.replace(mark, phase="pour")
    assert what_if_words.difference(Difference(1, mark, poured)) == (
        "event 1, phase-marked at 09:46:40 stir: phase is kept as 'stir', judged now it is 'pour'"
    )
