"""What a rise that goes on may be: everything that can be poured now, in every scene.

From one rest on, all that can be poured stays the same while the display rises; only how much has
come and how fast changes from reading to reading. So what can be poured, and the least that each
costs, is worked out once for a rise.
"""

import math
from collections.abc import Iterable
from itertools import count

import msgspec

from collector.case import Case
from collector.handlings import gradual
from collector.pourings import Pour, cost_while_rising, least_cost, pours
from collector.scene import Scene
from collector.weighings import Motion, Plateau

PUT = 1.5
"""What it costs to say that a rise that goes on is something put on, its pace apart."""

ROUNDING = 1e-9
"""A bound on a cost is off by less than this, for all that floats are rounded."""


class Rising(msgspec.Struct, frozen=True):
    """What is likely being poured, how likely that is, and the rest from which it began."""

    pour: Pour
    chance: float
    start: Plateau


class Candidate:
    """One pour in one scene; `place` is its number among all, `most` its greatest weight."""

    __slots__ = ("cost", "most", "place", "pour", "scene")

    def __init__(self, place: int, cost: float, scene: Scene, pour: Pour) -> None:
        self.place = place
        self.cost = cost
        self.scene = scene
        self.pour = pour
        self.most = math.exp(ROUNDING - cost - least_cost(pour))

    def weight(self, motion: Motion) -> float:
        """Return how likely it is, against the others."""
        return math.exp(-self.cost - cost_while_rising(self.pour, motion))


class Rise:
    """A rise from one rest, explained by scenes of which each comes with what it costs."""

    def __init__(self, scenes: Iterable[tuple[Scene, float]], before: Plateau, case: Case) -> None:
        self.before = before
        self.case = case
        self._explained: list[tuple[float, list[Candidate]]] = []
        places = count()
        for scene, cost in scenes:
            poured = pours(scene, before.to_us, case)
            candidates = [Candidate(next(places), cost, scene, pour) for pour in poured]
            self._explained.append((cost, candidates))
        every = [candidate for _, candidates in self._explained for candidate in candidates]
        self._likeliest_first = sorted(every, key=lambda each: each.most, reverse=True)

    def likeliest(self, motion: Motion) -> Candidate | None:
        """Return what is likeliest after one reading; None where nothing can be poured now.

        Of two that are as likely it is the first. Once none of the rest can be as likely, however
        well what has come suits it, the rest need not be asked.
        """
        best: Candidate | None = None
        most = 0.0
        for candidate in self._likeliest_first:
            if candidate.most < most:
                break
            weight = candidate.weight(motion)
            if best is None or (weight, best.place) > (most, candidate.place):
                best, most = candidate, weight
        return best

    def explain(self, likeliest: Candidate, motion: Motion) -> Rising:
        """Return how likely it is that the likeliest is being poured.

        That is held against all else that can be poured, and against something that is being put
        on the scale.
        """
        whole = same = 0.0
        put = PUT + gradual(motion.lasted_us)
        for cost, candidates in self._explained:
            whole += math.exp(-cost - put)
            for candidate in candidates:
                weight = candidate.weight(motion)
                whole += weight
                if candidate.pour.key == likeliest.pour.key:
                    same += weight
        known = likeliest.scene.find(likeliest.pour.key)
        start = motion.before if known is None else known.start
        return Rising(likeliest.pour, same / whole, start)
