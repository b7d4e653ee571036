"""What can be poured into what stands on the scale, how likely, and what comes of it.

Shares, spreads and habits are common practice, no source. Costs are negative logarithms, as in
`chances`: two more are a seventh as likely.
"""

import math
from collections.abc import Iterator

import msgspec

from collector.additions import Addition, Key
from collector.case import Case, Warmth
from collector.chances import Bell, Mixture, Stretch, cost_beyond, cost_of, least_beyond
from collector.conclusions import WeighingKind
from collector.containers import FILL_WARMTH
from collector.expectations import Stage
from collector.goes import (
    FILL_HAND,
    FRAGRANCE_HAND,
    WAX_HAND,
    again,
    at_its_mark,
    goes,
    sudden,
)
from collector.scene import Load, Scene
from collector.weighings import Motion, Step

UNSEEN_FIRST, UNSEEN_AGAIN, UNSEEN_ODD, UNSEEN_TYPED = 2.7, 0.5, 5.0, 0.7
"""Poured where no container was seen to be put; again, once this lot has shown that habit; on a
scale that has shown containers; and on one of which a person types what she thinks matters."""

UNSEEN_BEAKER = 6.0
"""The same of a beaker, while the pitcher stands elsewhere."""

AT_ONCE_FIRST, AT_ONCE_AGAIN, AT_ONCE_LITTLE, AT_ONCE_UNSEEN = 3.0, 0.7, 1.2, 1.0
AT_ONCE_ELSEWHERE = 1.8
"""Poured, and yet it came in one step; again; where it was only a little; on a scale that shows
no containers either; and where the wax was drawn out of sight too."""

AT_ONCE_ODD = 7.0
"""The same on a scale that has shown how something is poured."""

SHOWN_SHARE = 0.05
"""So much of a target shows how this scale shows pouring."""

LITTLE_MG = 15_000
"""Less than this in one step may be a splash from a bottle."""

LADLE_SHARE, LADLE_S = 0.96, 2.2
SLOW_LADLES = ((0.03, 40.0), (0.002, 1800.0))
"""Between two ladles pass some seconds, twice `LADLE_S` by and large, seldom a minute or more:
shares and mean seconds."""

TO_THE_MARK, TO_THE_MARK_SHORT = 1.0, 0.5
"""What it costs to say that wax that was poured to its mark, or scooped back to it, goes on; and
by how much less it costs then that it was left short."""

REACH_S, REACH_POWER, REACH_SHARE, LEAST_REACH = 2.1, 6, 0.25, 0.01
"""Between wax and fragrance the ladle is laid down and the bottle taken up; then the wax may have
to cool: any time, the longer the rarer."""

SHORT_REACH_S, SHORT_REACH_POWER = 3.0, 5
"""The same from wax that is off its mark: who means to go on holds the ladle still."""

SLOW_G_PER_S, QUICK_G_PER_S, FLOW_SPREAD, MOST_FLOW = 9.0, 10.0, 0.6, 4.0
"""Fragrance is poured no faster than the one, a fill no slower than the other, by and large."""

SHORT = ((0.985, 0.0), (0.97, 1.5), (0.90, 2.8), (0.75, 3.5), (0.55, 4.5), (0.0, 6.5))
"""What it costs to say that the wax was left at less than a share of its target."""

SCENT_WARMTH = {Warmth.HOT: 2.2, Warmth.BETWEEN: 1.6, Warmth.POUR: 2.6}
WAX_WARMTH = {Warmth.BETWEEN: 1.5, Warmth.POUR: 1.5}
"""What it costs to say that somebody does a thing although the wax is as warm as this."""

MORE_WAX, RIGHTED = 5.0, 1.5
SKIPS_FRAGRANCE, SKIPS_STIR = 2.0, 1.5
STIR_S = 15.0


class Pour(msgspec.Struct, frozen=True):
    """One thing that may be poured now, what that costs, and how much of it may come.

    `after` is the load that is poured into.
    """

    key: Key
    after: Load
    cost: float
    mixture: Mixture
    target_mg: int
    apart: bool = False
    had_mg: int = 0


def pours(scene: Scene, at_us: int, case: Case) -> Iterator[Pour]:
    """Go through what can be poured at a time."""
    if scene.load is Load.PITCHER:
        yield from _into_pitcher(scene, at_us, case)
    elif scene.load is Load.VESSEL:
        yield _fill(scene, at_us, case)
    elif scene.load is Load.BEAKER:
        yield from _into_beaker(scene, case)
    elif scene.load is Load.NOTHING:
        yield from _into_unseen(scene, at_us, case)


def cost_of_rise(pour: Pour, step: Step, case: Case) -> float:
    """Return what it costs to say that a rise that has come to rest is this pour."""
    took_us = step.after.from_us - step.before.to_us
    if case.typed:
        return pour.cost + cost_of(pour.mixture, step.change_mg)
    if step.abrupt and step.change_mg >= LITTLE_MG:
        return pour.cost + cost_of(
            sudden(pour.mixture, pour.target_mg, pour.had_mg), step.change_mg
        )
    flow = 0.0 if step.abrupt else _flow(pour, step.change_mg, took_us)
    return pour.cost + cost_of(pour.mixture, step.change_mg) + flow


def cost_while_rising(pour: Pour, motion: Motion) -> float:
    """Return what it costs to say that a rise that goes on is this pour."""
    flow = _flow(pour, motion.change_mg, motion.lasted_us)
    return pour.cost + cost_beyond(pour.mixture, motion.change_mg) + flow


def least_cost(pour: Pour) -> float:
    """Return the least that `cost_while_rising` can be, whatever has come and however fast."""
    return pour.cost + least_beyond(pour.mixture)


def _flow(pour: Pour, rise_mg: int, took_us: int) -> float:
    """Return what it costs to say that something is poured as fast as that."""
    g_per_s = max(0.1, rise_mg * 1e3 / max(1, took_us))
    kind = pour.key.kind
    if kind is WeighingKind.FRAGRANCE and not pour.key.tipped:
        off = math.log(g_per_s / SLOW_G_PER_S)
    elif kind is WeighingKind.FILL and rise_mg * 4 > pour.target_mg:
        off = math.log(QUICK_G_PER_S / g_per_s)
    else:
        return 0.0
    return min(MOST_FLOW, 0.5 * (max(0.0, off) / FLOW_SPREAD) ** 2)


def poured(scene: Scene, pour: Pour, step: Step) -> Scene:
    """Return the scene after a pour has come to rest."""
    before_mg = step.before.value_mg
    seen = scene
    if scene.load is not pour.after:  # the container was put there unseen
        habits = msgspec.structs.replace(scene.habits, unseen=True)
        seen = scene.closed().but(load=pour.after, empty_mg=before_mg, habits=habits)
    if step.change_mg >= max(LITTLE_MG, SHOWN_SHARE * pour.target_mg):
        habit = {"at_once": True} if step.abrupt else {"gradually": True}
        seen = seen.but(habits=msgspec.structs.replace(seen.habits, **habit))
    addition, seen = _taken_up(seen, pour, step)
    had_mg = addition.net_mg
    addition = addition.went(step, pour.target_mg)
    return _counted(seen.but(open=addition), pour, addition.net_mg - had_mg)


def _taken_up(scene: Scene, pour: Pour, step: Step) -> tuple[Addition, Scene]:
    """Return the addition that goes on, or a new one, and the scene without it."""
    before_mg = step.before.value_mg
    known = scene.find(pour.key)
    if known is None:
        return Addition(pour.key, step.before, before_mg, apart=pour.apart), scene.closed()
    if known is scene.open:
        return known, scene
    made = tuple(each for each in scene.closed().made if each is not known)
    again = msgspec.structs.replace(known, base_mg=before_mg - known.net_mg, apart=pour.apart)
    return again, scene.but(made=made, open=None)


def _counted(scene: Scene, pour: Pour, came_mg: int) -> Scene:
    """Return the scene with what a pour does to the stage and to what is where."""
    kind = pour.key.kind
    if kind is WeighingKind.FILL:
        habits = msgspec.structs.replace(scene.habits, on_scale=True)
        scene = scene.tipped()
        away_mg = None if scene.away_mg is None else scene.away_mg - came_mg
        away_at_mg = None if scene.away_at_mg is None else scene.away_at_mg - came_mg
        filled = max(scene.filled, pour.key.vessel or 0)
        pouring = scene.but(stage=Stage.POUR, filled=filled, habits=habits)
        return pouring.but(away_mg=away_mg, away_at_mg=away_at_mg)
    if pour.key.tipped:
        return scene.but(apart_mg=max(0, scene.apart_mg - came_mg))
    if kind is WeighingKind.FRAGRANCE:
        apart_mg = scene.apart_mg + came_mg if pour.apart else scene.apart_mg
        return scene.but(stage=max(scene.stage, Stage.BLEND), apart_mg=apart_mg)
    return scene.but(stage=max(scene.stage, Stage.FRAGRANCE))


# ---------------------------------------------------------------- into which container


def _into_pitcher(scene: Scene, at_us: int, case: Case) -> Iterator[Pour]:
    if scene.apart_mg > 0:
        yield _tip(scene, case)
    if scene.stage is not Stage.POUR:
        yield _wax(scene, at_us, case)
        if scene.wax_mg is not None:
            yield _scent(scene, at_us, case)


def _into_beaker(scene: Scene, case: Case) -> Iterator[Pour]:
    had_mg = scene.apart_mg  # what went into the wax before was another helping
    expected = case.targets.fragrance(scene.wax_mg or case.targets.wax(scene.pitcher).target_mg)
    mixture = goes(expected, had_mg, FRAGRANCE_HAND, case)
    key = Key(WeighingKind.FRAGRANCE, scene.pitcher)
    cost = 0.1 + (SCENT_WARMTH.get(case.warmth, 0.0) if case.warmth is not Warmth.HOT else 0.0)
    yield Pour(key, Load.BEAKER, cost, mixture, expected.target_mg, apart=True, had_mg=had_mg)


def _into_unseen(scene: Scene, at_us: int, case: Case) -> Iterator[Pour]:
    shown = scene.masses.pitcher_mg is not None or scene.masses.vessel_mg is not None
    unseen = UNSEEN_ODD if shown else UNSEEN_FIRST
    if case.typed:
        unseen = UNSEEN_TYPED
    elif scene.habits.unseen:
        unseen = UNSEEN_AGAIN
    if scene.stage is Stage.WAX:
        pour = _wax(scene, at_us, case)
    else:
        pour = _fill(scene, at_us, case)
        if scene.stage is Stage.FRAGRANCE and scene.pitcher_shown and scene.away_mg is not None:
            for apart in _into_beaker(scene, case):
                yield msgspec.structs.replace(apart, cost=apart.cost + UNSEEN_BEAKER)
        if scene.stage is Stage.FRAGRANCE and scene.wax_mg is not None:
            scent = _scent(scene, at_us, case)
            yield msgspec.structs.replace(scent, cost=scent.cost + unseen + 2.0)
    yield msgspec.structs.replace(pour, cost=pour.cost + unseen)


# ---------------------------------------------------------------- what is poured


def _wax(scene: Scene, at_us: int, case: Case) -> Pour:
    expected = case.targets.wax(scene.pitcher)
    wax = scene.of_pitcher(WeighingKind.WAX)
    key = Key(WeighingKind.WAX, scene.pitcher)
    if wax is None:
        mixture = goes(expected, 0, WAX_HAND, case)
        return Pour(key, Load.PITCHER, 0.1, mixture, expected.target_mg)
    cost = _timing(wax, at_us, case)[0] + WAX_WARMTH.get(case.warmth, 0.0)
    cost += TO_THE_MARK if wax.trimmed else 0.0
    cost += 4.0 if scene.scent_marked else 0.0
    if scene.stage >= Stage.BLEND:
        cost += _more_wax(scene, case)
    mixture = goes(expected, wax.net_mg, WAX_HAND, case, (at_us - wax.gone_us) / 1e6)
    return Pour(key, Load.PITCHER, cost, mixture, expected.target_mg, had_mg=wax.net_mg)


def _more_wax(scene: Scene, case: Case) -> float:
    """What it costs to say that wax is poured to the fragrance: it is where there is too much."""
    fragrance = case.targets.fragrance(scene.wax_mg or 0)
    over = (scene.fragrance_mg or 0) > fragrance.target_mg + fragrance.tolerance_mg
    return RIGHTED if over else MORE_WAX


def _timing(wax: Addition, at_us: int, case: Case) -> tuple[float, float]:
    """Return what it costs to say that wax, or fragrance, comes so long after the last wax."""
    after_s = max(0.0, (at_us - wax.gone_us) / 1e6)
    ladle = LADLE_SHARE * after_s / LADLE_S**2 * math.exp(-after_s / LADLE_S)
    ladle += sum(share * math.exp(-after_s / mean) / mean for share, mean in SLOW_LADLES)
    met = at_its_mark(case.targets.wax(wax.key.pitcher), wax.net_mg, WAX_HAND, case)
    reach_s, power = (REACH_S, REACH_POWER) if met else (SHORT_REACH_S, SHORT_REACH_POWER)
    reached = max(LEAST_REACH, -math.expm1(-((after_s / reach_s) ** power)))
    reach = REACH_SHARE * reached / (after_s + REACH_S)
    return -math.log(ladle / (ladle + reach)), -math.log(reach / (ladle + reach))


def _scent(scene: Scene, at_us: int, case: Case) -> Pour:
    wax = scene.of_pitcher(WeighingKind.WAX)
    wax_mg = wax.net_mg if wax is not None else 0
    expected = case.targets.fragrance(wax_mg)
    key = Key(WeighingKind.FRAGRANCE, scene.pitcher)
    cost = SCENT_WARMTH.get(case.warmth, 0.0)
    had = scene.of_pitcher(WeighingKind.FRAGRANCE)
    if had is None:
        if wax is not None:
            cost += _timing(wax, at_us, case)[1]
        short = _left_short(case.targets.wax(scene.pitcher).share(wax_mg))
        cost += short * (TO_THE_MARK_SHORT if wax is not None and wax.trimmed else 1.0)
        mixture = goes(expected, 0, FRAGRANCE_HAND, case)
        return Pour(key, Load.PITCHER, cost, mixture, expected.target_mg)
    mixture = again(expected, had, at_us, case)
    return Pour(key, Load.PITCHER, cost, mixture, expected.target_mg, had_mg=had.net_mg)


def _left_short(share: float) -> float:
    return next((cost for least, cost in SHORT if share >= least), SHORT[-1][1])


def _tip(scene: Scene, case: Case) -> Pour:
    apart_mg, sigma = scene.apart_mg, max(800.0, 0.6 * case.division_mg)
    key = Key(WeighingKind.FRAGRANCE, scene.pitcher, None, tipped=True)
    mixture = (Bell(0.7, apart_mg, apart_mg * 0.03 + sigma), Stretch(0.3, 0, apart_mg * 1.05))
    return Pour(key, Load.PITCHER, 0.3, mixture, apart_mg)


def _fill(scene: Scene, at_us: int, case: Case) -> Pour:
    expected = case.targets.fill()
    opened = scene.open
    if opened is not None and opened.key.kind is WeighingKind.FILL and scene.load is Load.VESSEL:
        mixture = goes(expected, opened.net_mg, FILL_HAND, case)
        had_mg = opened.net_mg
        return Pour(opened.key, Load.VESSEL, 0.1, mixture, expected.target_mg, had_mg=had_mg)
    key = Key(WeighingKind.FILL, scene.pitcher, scene.filled + 1)
    cost = 0.1 + (0.0 if scene.filled < case.targets.vessels_due(scene.pitcher) else 3.0)
    if scene.stage is not Stage.POUR or case.warmth is Warmth.COLD:
        cost += FILL_WARMTH.get(case.warmth, 0.0)
    if scene.stage is not Stage.POUR:
        if scene.stage is Stage.WAX:
            cost += 8.0
        elif scene.stage is Stage.FRAGRANCE:
            cost += SKIPS_FRAGRANCE
        else:
            fragrance = scene.of_pitcher(WeighingKind.FRAGRANCE)
            soon = fragrance is not None and (at_us - fragrance.gone_us) / 1e6 < STIR_S
            cost += SKIPS_STIR if soon else 0.0
    mixture = goes(expected, 0, FILL_HAND, case)
    return Pour(key, Load.VESSEL, cost, mixture, expected.target_mg)


def abruptness(scene: Scene, step: Step, case: Case) -> float:
    """Return what it costs to say that something was poured, by how abruptly it came."""
    if case.typed or not step.abrupt:
        return 0.0
    if step.change_mg < LITTLE_MG:
        return AT_ONCE_LITTLE
    if scene.habits.gradually and scene.load is not Load.VESSEL:
        return AT_ONCE_ODD
    if scene.habits.at_once:
        return AT_ONCE_AGAIN
    if scene.load is Load.NOTHING:
        return AT_ONCE_UNSEEN
    return AT_ONCE_ELSEWHERE if scene.habits.elsewhere else AT_ONCE_FIRST
