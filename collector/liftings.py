"""What leaves the pan when the display falls; how likely, and what comes of it.

Shares and spreads are common practice, no source. Costs are negative logarithms, as in `chances`.
"""

from collections.abc import Iterator

import msgspec

from collector.case import Case
from collector.chances import About, Bell, Stretch, cost_of
from collector.conclusions import WeighingKind
from collector.containers import (
    BEAKER_SHARE,
    BEAKERS,
    PITCHERS,
    SEEN_MG,
    VESSELS,
    Next,
    known,
)
from collector.expectations import Stage
from collector.scene import LEAST_CONTAINER_MG, Lifted, Load, Scene
from collector.weighings import Plateau, Step

UNSEEN, UNSEEN_AGAIN, UNSEEN_ODD = 4.5, 1.2, 6.5
"""The scale looked away while a container was put, taken or tared; again; and where it has shown
the pitcher before."""

TARED_UNSEEN = 1.5
"""A vessel or beaker was put and tared in one go, and only its lifting shows it."""

ANYTHING = About(1.0, 300_000, 1.5)
"""What may stand on a workshop's scale, where nobody has told of it."""

ZERO_MG = 600


def at_zero(plateau: Plateau, case: Case) -> bool:
    """Tell whether a display shows zero, as far as its division and its tremble tell."""
    return abs(plateau.value_mg) <= max(ZERO_MG, case.division_mg * 6 // 5)


LIFTS = {
    (Load.PITCHER, Stage.WAX): 1.6,
    (Load.PITCHER, Stage.FRAGRANCE): 0.9,
    (Load.PITCHER, Stage.BLEND): 0.4,
    (Load.PITCHER, Stage.POUR): 0.3,
}
LIFTED_EMPTY, LIFTED_FULL = 3.0, 0.1

LEFT_SHORT = 1.5
"""What it costs to say that the fragrance is left at less than it should be: few stop there."""


def lifts(scene: Scene, step: Step, case: Case) -> Iterator[Next]:
    """Go through what leaves the pan when the display falls."""
    if scene.load is Load.NOTHING:
        # Something stood there that nobody had told of.
        after = scene.but(bare_mg=step.after.value_mg)
        yield after, UNSEEN + cost_of((ANYTHING,), -step.change_mg)
        return
    cost = lifting(scene, case)
    yield lifted(scene, step.before, step.after, case), cost + _down_to_bare(scene, step, case)
    yield from _shown_at_last(scene, step, case, cost)
    if at_zero(step.after, case) and scene.bare_mg is not None:
        shown = scene.masses.pitcher_mg is not None
        unseen = UNSEEN_ODD if shown else UNSEEN
        if scene.habits.unseen:
            unseen = UNSEEN_AGAIN
        habits = msgspec.structs.replace(scene.habits, unseen=not shown)
        yield lifted(scene.but(habits=habits), step.before, step.after, case), cost + unseen


def _shown_at_last(scene: Scene, step: Step, case: Case, cost: float) -> Iterator[Next]:
    """What was put and tared while the scale did not rest shows when it is lifted."""
    own_mg = -step.change_mg - scene.in_container_mg
    if scene.bare_mg is None or scene.empty_mg is None or own_mg < SEEN_MG:
        return
    if abs(scene.empty_mg - scene.bare_mg) > max(ZERO_MG, case.division_mg * 6 // 5):
        return  # it showed when it was put
    if scene.load is Load.VESSEL:
        own = known(scene.masses.vessel_mg, VESSELS, 0.012, 2_500)
    elif scene.load is Load.BEAKER:
        own = known(scene.masses.beaker_mg, BEAKERS, 0.005, 1_000, BEAKER_SHARE)
    else:
        return
    after = lifted(scene, step.before, step.after, case)
    yield after, cost + TARED_UNSEEN + cost_of(own, own_mg)


def lifting(scene: Scene, case: Case) -> float:
    """Return what it costs to say that the load is lifted off now."""
    full = scene.in_container_mg > LEAST_CONTAINER_MG // 3
    cost = LIFTS.get((scene.load, scene.stage), LIFTED_FULL if full else LIFTED_EMPTY)
    return cost + (LEFT_SHORT if _scent_is_short(scene, case) else 0.0)


def _scent_is_short(scene: Scene, case: Case) -> bool:
    opened = scene.open
    if opened is None or opened.at_once or opened.key.kind is not WeighingKind.FRAGRANCE:
        return False
    expected = case.targets.fragrance(scene.wax_mg or 0)
    return opened.net_mg < expected.target_mg - expected.tolerance_mg


def _down_to_bare(scene: Scene, step: Step, case: Case) -> float:
    """Return what it costs to say that the pan is bare now."""
    bare_mg, contents_mg = scene.bare_mg, scene.in_container_mg
    if bare_mg is None:
        container_mg = -step.change_mg - contents_mg
        pitcher = known(scene.masses.pitcher_mg, PITCHERS, 0.003, 1_000)
        unseen = Bell(0.05, 0.0, 1_000.0)
        return 0.5 + cost_of((*pitcher, unseen), container_mg)
    sigma = max(700.0, 0.6 * case.division_mg, 0.001 * abs(step.change_mg))
    near = (Bell(0.95, bare_mg, sigma), Stretch(0.05, bare_mg - 8_000, bare_mg + 8_000))
    return cost_of(near, step.after.value_mg)


def lifted(scene: Scene, before: Plateau, after: Plateau, case: Case) -> Scene:
    """Return the scene with its load taken off; the display shows the bare pan now."""
    mass_mg = before.value_mg - after.value_mg
    contents_mg = scene.in_container_mg
    own_mg = max(0, mass_mg - contents_mg)
    shown = own_mg >= SEEN_MG
    gone = scene.at_rest(before).closed()
    load = scene.load
    masses = scene.masses
    if load is Load.PITCHER:
        masses = msgspec.structs.replace(masses, pitcher_mg=own_mg)
    elif load is Load.VESSEL and shown:
        masses = msgspec.structs.replace(masses, vessel_mg=own_mg)
    gone = gone.but(
        load=Load.NOTHING,
        bare_mg=after.value_mg,
        empty_mg=None,
        masses=masses,
        lifted=Lifted(load, mass_mg, contents_mg),
        pitcher_shown=scene.pitcher_shown or (load is Load.PITCHER and shown),
    )
    if load is Load.PITCHER:
        away_mg = None if gone.wax_mg is None else mass_mg
        gone = gone.but(away_mg=away_mg, away_at_mg=before.value_mg, left=before)
    return _turned_if_done(gone, case)


def _turned_if_done(scene: Scene, case: Case) -> Scene:
    """Return the scene at its next pitcher where this one's vessels are all filled."""
    done = scene.filled >= case.targets.vessels_due(scene.pitcher)
    if scene.stage is Stage.POUR and done and scene.pitcher < case.targets.pitchers:
        return scene.turned()
    return scene
