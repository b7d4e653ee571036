"""A mark that was made by mistake and taken back leaves a lot as if it had never been made."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import msgspec
import pytest
from feed_script import PITCHER, SCALE
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from stranger_round import AMBER
from two_benches import TwoBenches, is_telling, outcomes, stands

from collector.conclusions import WeighingAccepted
from collector.phases import Edge, Phase
from collector.recipes import Manner, OwnPhase
from collector.replay import derived_of, first_difference, replay

OWN = msgspec.structs.replace(
    AMBER,
    prepare=True,
    own_phases=(OwnPhase("rest", Phase.STIR, at_least_s=20, at_most_s=60),),
)
LATCHING = msgspec.structs.replace(
    AMBER,
    vessel=msgspec.structs.replace(AMBER.vessel, fill_mg=400_000),  # two pitchers
    manners={
        rule: Manner(latched=True)
        for rule in ("stir-duration", "pour-temperature", "skipped-phase", "phase-order")
    },
)
RECIPES = {"plain": AMBER, "own phases": OWN, "latched, two pitchers": LATCHING}

Step = Callable[[TwoBenches], object]


def holds(seconds: float) -> Step:
    return lambda lot: lot.hold(seconds)


def shows(celsius: float) -> Step:
    def show(lot: TwoBenches) -> None:
        lot.celsius[PITCHER] = celsius
        lot.hold(3)

    return show


def moves(to_g: float) -> Step:
    def move(lot: TwoBenches) -> None:
        lot.jump(to_g)
        lot.hold(3)

    return move


def pours(grams: float, seconds: float) -> Step:
    def pour(lot: TwoBenches) -> None:
        lot.ramp(lot.level_g + grams, seconds)
        lot.hold(4)

    return pour


def fills(lot: TwoBenches) -> None:
    moves(180)(lot)
    pours(220, 6)(lot)
    moves(0)(lot)


def falls_silent(lot: TwoBenches) -> None:
    lot.silent ^= {SCALE}
    lot.hold(12)


def marks(phase: str, edge: Edge) -> Step:
    return lambda lot: lot.mark(phase, edge)


WORK: dict[str, Step] = {
    "waits": holds(2),
    "waits longer": holds(15),
    "waits for the wax": holds(45),
    "puts the pitcher down": moves(310),
    "takes it off": moves(0),
    "pours wax": pours(600, 9),
    "pours fragrance": pours(48, 5),
    "fills a vessel": fills,
    "warms it": shows(82.5),
    "cools it": shows(60),
    "cools it too far": shows(50),
    "unplugs the scale or plugs it in": falls_silent,
    "answers": TwoBenches.answer,
}
MARKS = {
    f"marks {phase} {edge}": marks(phase, edge)
    for phase in (Phase.DRAW_WAX, Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR)
    for edge in Edge
}
ALL = WORK | MARKS
LOT_SO_FAR: dict[str, Sequence[str]] = {
    "nothing yet": (),
    "wax drawn": ("puts the pitcher down", "pours wax"),
    "scented": ("puts the pitcher down", "pours wax", "pours fragrance", "takes it off"),
    "stirring": (
        *("puts the pitcher down", "pours wax", "pours fragrance", "takes it off"),
        *("marks stir begin", "waits longer"),
    ),
    "stirred": (
        *("puts the pitcher down", "pours wax", "pours fragrance", "takes it off"),
        *("marks stir begin", "waits for the wax", "waits for the wax", "waits for the wax"),
        *("marks stir end", "cools it"),
    ),
    "pouring": (
        *("puts the pitcher down", "pours wax", "pours fragrance", "takes it off"),
        *("waits for the wax", "cools it", "fills a vessel"),
    ),
}


def done(lot: TwoBenches, steps: Sequence[str]) -> None:
    for step in steps:
        ALL[step](lot)


def masses(weighings: Iterable[WeighingAccepted]) -> list[WeighingAccepted]:
    """Return weighings in the order of what they are of, whenever they were told."""
    timeless = (msgspec.structs.replace(weighing, at_us=0) for weighing in weighings)
    return sorted(timeless, key=lambda w: (w.kind, w.pitcher, w.vessel or 0))


def agree(lot: TwoBenches) -> None:
    """Hold what the mistaken bench shows and tells against the one that was spared."""
    shown, spared_shown = lot.statuses()
    assert shown == spared_shown
    ours, theirs = lot.records()
    assert {(r.phase, r.pitcher): r for r in ours.phases} == {
        (r.phase, r.pitcher): r for r in theirs.phases
    }
    assert masses(ours.weighings) == masses(theirs.weighings)
    assert outcomes(ours.alarms, stands) == outcomes(theirs.alarms, stands)
    assert not outcomes(theirs.alarms, is_telling) - outcomes(ours.alarms, is_telling)
    book, violated = lot.bench.book, {a.raised.alarm for a in ours.alarms if not a.cleared_us}
    assert book.violated == violated


@dataclass(frozen=True)
class Mistake:
    """A mark that was not meant, and what happened until somebody noticed."""

    phase: Phase
    edge: Edge
    then: list[str]


@dataclass(frozen=True)
class Day:
    """What happens in a lot: the mistakes are taken back one after the other, the last first."""

    so_far: str
    before: list[str]
    mistakes: list[Mistake]
    after: list[str]


MISTAKES = st.builds(
    Mistake,
    st.sampled_from([Phase.DRAW_WAX, Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR, Phase.SET]),
    st.sampled_from(list(Edge)),
    st.lists(st.sampled_from(sorted(WORK.keys() - {"answers"})), max_size=3),
)
DAYS = st.builds(
    Day,
    st.sampled_from(sorted(LOT_SO_FAR)),
    st.lists(st.sampled_from(sorted(ALL)), max_size=3),
    st.lists(MISTAKES, min_size=1, max_size=2),
    st.lists(st.sampled_from(sorted(ALL)), max_size=4),
)


@pytest.mark.parametrize("name", RECIPES)
@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(day=DAYS)
def test_marked_and_taken_back_is_never_marked(name: str, day: Day) -> None:
    lot = TwoBenches()
    lot.hold(2)
    lot.open(RECIPES[name], 3)
    done(lot, [*LOT_SO_FAR[day.so_far], *day.before])
    for mistake in day.mistakes:
        lot.mistake(mistake.phase, mistake.edge)
        done(lot, mistake.then)
    for _ in day.mistakes:
        lot.take_back()
    agree(lot)
    for step in day.after:
        done(lot, [step])
        agree(lot)
    lot.close()
    agree(lot)
    ours, theirs = lot.said_since()
    assert ours == theirs
    kept = derived_of(lot.full_journal)
    assert first_difference(kept, replay(lot.journal(), lot.readings())[1]) is None
