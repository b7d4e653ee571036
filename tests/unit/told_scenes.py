"""A teller with some scenes at hand, and what it told."""

import msgspec
from scale_steps import PITCHER_MG, WAX, addition_of, plateau, targets_of, us

from collector.additions import Addition
from collector.expectations import Stage
from collector.findings import Finding, Weighed
from collector.progress import Progress
from collector.scene import Load, Scene
from collector.stories import Stories, Story
from collector.telling import Teller
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
