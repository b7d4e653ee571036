"""Several explanations of a scale side by side, each as likely as it has turned out to be.

What a step of the scale means is often clear only later: a display that fell to zero was tared
or relieved of its load; a mass that came at once is a container, or wax. So the likeliest scenes
are all followed, and what is told is what they agree on.
"""

import math
from collections.abc import Callable, Container, Iterable, Sequence

import msgspec

from collector.additions import Addition, Key
from collector.case import Case
from collector.handlings import handlings, lingering, tare_cost
from collector.pourings import abruptness, cost_of_rise, poured, pours
from collector.rises import Rise, Rising
from collector.scene import Load, Scene
from collector.weighings import Motion, Plateau, Step

MOST = 24
"""So many scenes are followed."""

UNLIKELY = 14.0
"""A scene that costs so much more than the best one is given up."""

SURE_LOAD = 0.85

STANDING_ALREADY = 2.5
"""What it costs to say that the pitcher stood on the scale when the lot was opened."""


MERGED, MERGED_MG, MERGED_US = 4.0, 15_000, 2_500_000
"""What it costs to say that a scale was tared and did not come to rest before something was poured;
and how much that must be, and how long it takes."""


class Story:
    """One scene and what it costs beyond the likeliest one."""

    __slots__ = ("_rested", "_scene", "cost")

    def __init__(self, scene: Scene, cost: float) -> None:
        self.cost = cost
        self._scene = scene
        self._rested: Plateau | None = None

    @property
    def scene(self) -> Scene:
        """The scene as the scale rested last."""
        if self._rested is not None:
            self._scene, self._rested = self._scene.at_rest(self._rested), None
        return self._scene

    def rest(self, plateau: Plateau) -> None:
        """See what the resting scale shows.

        A later rest takes the place of an earlier one, so it is worked out only for the scene
        that is asked for, not for each at every reading.
        """
        self._rested = plateau

    def cost_at(self, at_us: int) -> float:
        """Return its cost at a time: a thing that still lies there gets less and less likely."""
        return self.cost + lingering(self._scene, at_us)


class Stories:
    """The scenes that explain one scale; the likeliest first."""

    def __init__(self) -> None:
        self.all: list[Story] = [Story(Scene(), 0.0)]
        self._now_us = 0
        self._rested: Plateau | None = None
        self._rise: Rise | None = None  # what goes on, as long as the scenes stay as they are

    @property
    def best(self) -> Scene:
        """The likeliest scene."""
        scene = self.all[0].scene
        return scene if scene.load is not Load.THING else self.likeliest(self.all)

    def likeliest(self, stories: Sequence[Story]) -> Scene:
        """Return the likeliest scene of some."""
        best, least = stories[0], stories[0].cost_at(self._now_us)
        for story in stories:
            if story.cost >= least:
                continue  # what lies there still only adds to it
            cost = story.cost_at(self._now_us)
            if cost < least:
                best, least = story, cost
        return best.scene

    def begin(self, plateau: Plateau) -> None:
        """Take the first value at which the scale rests: bare, or with a pitcher on it."""
        shown = plateau.value_mg
        bare = Scene(bare_mg=shown)
        standing = Scene(load=Load.PITCHER, empty_mg=shown)
        self.all = [Story(bare, 0.0), Story(standing, STANDING_ALREADY)]
        self._rise = None

    def chance(self, holds: Callable[[Scene], bool], among: Sequence[Story] | None = None) -> float:
        """Return how likely it is that something holds, over all scenes or some."""
        whole = kept = 0.0
        for story in self.all if among is None else among:
            weight = math.exp(-story.cost_at(self._now_us))
            whole += weight
            if holds(story.scene):
                kept += weight
        return kept / whole

    def surely_on(self, load: Load) -> bool:
        """Tell whether it is sure what stands on the scale, apart from what lies there."""
        return self.chance(lambda scene: _standing(scene) is load) >= SURE_LOAD

    def rest(self, plateau: Plateau) -> None:
        """Let every scene see what the resting scale shows."""
        self._now_us = plateau.to_us
        if plateau is not self._rested:
            self._rested, self._rise = plateau, None
        for story in self.all:
            story.rest(plateau)

    def step(self, step: Step, case: Case) -> None:
        """Take one step of the scale: every scene goes on in every way that explains it."""
        self.rest(step.before)
        self._rise = None
        after: list[Story] = []
        for story in self.all:
            story.cost += lingering(story.scene, step.before.to_us)
            for scene, cost in following(story.scene, step, case):
                after.append(Story(scene, story.cost + cost))
        if after:
            self._keep(after)

    def think(self, change: Callable[[Scene], tuple[Scene, float]]) -> None:
        """Let every scene take what a person says."""
        changed = [(story, change(story.scene)) for story in self.all]
        self._keep(Story(scene, story.cost + cost) for story, (scene, cost) in changed)

    def rising(self, motion: Motion, case: Case, told: Container[Key] = ()) -> Rising | None:
        """Return what a rise that goes on most likely is.

        None where nothing can be poured now, or where the likeliest is `told` already.
        """
        rise = self._rise
        if rise is None or rise.before is not motion.before or rise.case != case:
            scenes = ((story.scene, story.cost) for story in self.all)
            self._rise = rise = Rise(scenes, motion.before, case)
        likeliest = rise.likeliest(motion)
        if likeliest is None or likeliest.pour.key in told:
            return None
        return rise.explain(likeliest, motion)

    def _keep(self, stories: Iterable[Story]) -> None:
        ordered = sorted(stories, key=lambda story: story.cost)
        least = ordered[0].cost
        kept: list[Story] = []
        for story in ordered:
            if story.cost - least > UNLIKELY or len(kept) >= MOST:
                break
            story.cost -= least
            twin = next((each for each in kept if _same(story.scene, each.scene)), None)
            if twin is None:
                kept.append(story)
            else:
                twin.cost -= math.log1p(math.exp(twin.cost - story.cost))
        kept.sort(key=lambda story: story.cost)  # two that became one may have overtaken another
        least = kept[0].cost
        for story in kept:
            story.cost -= least
        self.all, self._rise = kept, None


def following(scene: Scene, step: Step, case: Case) -> Iterable[tuple[Scene, float]]:
    """Go through the scenes that may follow from one step, and what each costs."""
    yield from handlings(scene, step, case)
    yield from _tared_and_poured(scene, step, case)
    if step.change_mg > 0 and scene.load is not Load.THING:
        at_once = abruptness(scene, step, case)
        for pour in pours(scene, step.before.to_us, case):
            cost = cost_of_rise(pour, step, case)
            yield poured(scene, pour, step), cost + at_once


def _tared_and_poured(scene: Scene, step: Step, case: Case) -> Iterable[tuple[Scene, float]]:
    """Go through what may have been poured if the key was pressed and the scale did not rest."""
    before, after = step.before, step.after
    took_us = after.from_us - before.to_us
    if abs(before.value_mg) < MERGED_MG or after.value_mg < MERGED_MG or took_us < MERGED_US:
        return
    if scene.load in {Load.NOTHING, Load.THING}:
        return
    zero = msgspec.structs.replace(before, value_mg=0)
    tared = tare_cost(scene) + MERGED
    poured_on = Step(zero, after, abrupt=False)
    fresh = scene.tared(before.value_mg)
    for pour in pours(fresh, before.to_us, case):
        yield poured(fresh, pour, poured_on), tared + cost_of_rise(pour, poured_on, case)


NEAR_MG = 1_500


def _same(one: Scene, other: Scene) -> bool:
    """Tell whether two scenes differ in nothing that matters from now on."""
    return (
        one.load is other.load
        and (one.pitcher, one.stage, one.filled) == (other.pitcher, other.stage, other.filled)
        and len(one.made) == len(other.made)
        and _near(one.bare_mg, other.bare_mg)
        and _near(one.empty_mg, other.empty_mg)
        and _near(one.away_mg, other.away_mg)
        and _near(one.apart_mg, other.apart_mg)
        and _near(one.masses.pitcher_mg, other.masses.pitcher_mg)
        and (one.open is None) == (other.open is None)
        and _same_addition(one.latest(), other.latest())
        and _same_under(one.under, other.under)
    )


def _same_under(one: Scene | None, other: Scene | None) -> bool:
    if one is None or other is None:
        return one is other
    return _same(one, other)


def _same_addition(one: Addition | None, other: Addition | None) -> bool:
    if one is None or other is None:
        return one is other
    return one.key == other.key and abs(one.net_mg - other.net_mg) <= NEAR_MG


def _standing(scene: Scene) -> Load:
    return scene.under.load if scene.under is not None else scene.load


def _near(one: int | None, other: int | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= NEAR_MG
