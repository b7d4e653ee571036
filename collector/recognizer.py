"""Readings of the scale and marks in; wax drawn, fragrance added and vessels filled out.

The recognizer follows one lot on one scale. `Settler` says when the scale rests, `Stories` what
its steps may mean, and `Teller` when that is sure enough to be told.
"""

from collections.abc import Callable, Sequence

from collector.additions import Key
from collector.case import Case, Warmth
from collector.conclusions import WeighingKind
from collector.expectations import Stage
from collector.findings import Contradicted, Finding
from collector.phases import Edge, Phase, PhaseName
from collector.progress import Progress
from collector.readings import Quality, Reading
from collector.rises import Rising
from collector.scene import LEAST_CONTAINER_MG, Load, Scene
from collector.settling import DRAWN_SHARE
from collector.stories import Stories, Story
from collector.telling import Seen, Teller
from collector.weighings import Motion, Plateau, Scale, Settler, Step

AFTER_THE_WAX = (Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR)
"""Phases that cannot begin while the wax is still being drawn."""

SURE_MOTION_US = 1_200_000
"""A gradual rise that has lasted this long is being poured, not put down."""

SURE_RISING, LESS_SURE_PER_S, LEAST_SURE_RISING = 0.83, 0.05, 0.75
"""As likely as this is told while it is being poured, for then it can still be stopped; the longer
it goes on, the less sure that must be."""

UNREST_US = 2_000_000
"""A display that comes back to where it was, but not to rest, for so long is being shaken."""

SURE_LEAVING_US = 400_000
"""A display that is far down for this long is no knock at the bench."""

SURE_RISE_MG = 15_000
"""A rise in a vessel or pitcher that is more than a drop."""

SURE_FRAGRANCE_DIVISOR = 20
"""A twentieth of the fragrance target is more than a drip from the bottle."""

NOTHING_TO_STIR = 2.5
"""What it costs to say that somebody marks a stir before the fragrance is in."""

CALM_US = 20_000_000
"""After so long at rest nothing more is told of what rests there."""


def _unknown(_at_us: int) -> Warmth:
    return Warmth.UNKNOWN


class Recognizer:
    """Follows one lot on one scale. `warmth_at` says how warm its wax is at a time."""

    def __init__(
        self,
        progress: Progress,
        channel: str,
        warmth_at: Callable[[int], Warmth] = _unknown,
        *,
        typed: bool = False,
    ) -> None:
        self._progress = progress
        self._warmth_at = warmth_at
        self._typed = typed
        self._settler = Settler(typed=typed)
        self._stories = Stories()
        self._teller = Teller(progress, channel)
        self._began = False
        self._back_us = 0  # when the moving display was last back where it had rested
        self._pitcher_rests: bool | None = None  # None until it is asked for after a step
        self._settled: tuple[Plateau, Sequence[Story], int] | None = None  # and nothing found

    # ------------------------------------------------------------ what others ask

    @property
    def scale(self) -> Scale:
        """Whether the scale rests."""
        return self._settler.state

    @property
    def scene(self) -> Scene:
        """The likeliest explanation of what the scale has shown."""
        return self._stories.best

    @property
    def load(self) -> Load:
        """What stands on the scale, apart from what lies there for a moment."""
        scene = self.scene
        return scene.under.load if scene.under is not None else scene.load

    @property
    def pitcher_rests(self) -> bool:
        """Whether the pitcher surely stands on the scale."""
        if self._pitcher_rests is None:
            self._pitcher_rests = self._stories.surely_on(Load.PITCHER)
        return self._pitcher_rests

    @property
    def base_mg(self) -> int | None:
        """The display's value without what is being weighed now; None where nothing stands."""
        opened = self.scene.open
        if opened is not None and opened.key.kind is self._progress.next_kind:
            return opened.base_mg
        plateau = self._settler.plateau
        return None if plateau is None or self.scene.load is Load.NOTHING else plateau.value_mg

    @property
    def adding(self) -> bool:
        """Whether more was poured to what was told last, and has not been told yet."""
        plateau, opened = self._settler.plateau, self.scene.open
        told = self._teller.told.get(opened.key) if opened is not None else None
        if plateau is None or opened is None or told is None or told.mass_mg is None:
            return False
        return abs(opened.net_at(plateau.value_mg) - told.mass_mg) > self._settler.band_mg

    # ------------------------------------------------------------ inputs

    def mark(self, phase: PhaseName, edge: Edge) -> list[Finding]:
        """Take a person's mark: it tells where the scale alone cannot."""
        plateau = self._settler.plateau
        if edge is Edge.END or plateau is None:
            return []
        if self._contradicts(plateau):
            what = "the wax was still being drawn"
            return [Contradicted(phase, edge, what)] if phase in AFTER_THE_WAX else []
        if phase == Phase.STIR:
            self._stories.think(_stirs)
        findings = self._settle(plateau)
        if phase == Phase.DRAW_WAX and self._progress.stage is Stage.POUR:
            if self._progress.more_pitchers:
                self._stories.think(_next_pitcher)
                self._progress.turn_to(self._progress.pitcher + 1)
        elif phase == Phase.ADD_FRAGRANCE:
            self._stories.think(_scents)
            self._progress.stage = max(self._progress.stage, Stage.FRAGRANCE)
        elif phase == Phase.POUR:
            self._stories.think(_pours)
            self._progress.stage = Stage.POUR
        return findings

    def _contradicts(self, plateau: Plateau) -> bool:
        """Tell whether the scale shows that a mark came too early: the wax is still being drawn.

        A key pressed by mistake must not turn the rest of the wax into fragrance.
        """
        told = self._teller.told.get(Key(WeighingKind.WAX, self.scene.pitcher))
        wax = self.scene.of_pitcher(WeighingKind.WAX)
        if (told is None and wax is None) or (told is not None and told.mass_mg is not None):
            return False
        if self.scale is Scale.MOVING or wax is None:
            return True
        expected = self._progress.targets.wax(self.scene.pitcher)
        return expected.share(wax.net_at(plateau.value_mg)) < DRAWN_SHARE

    def read(self, reading: Reading) -> list[Finding]:
        """Take one reading of the scale."""
        moved = self._settler.feed(reading)
        plateau = self._settler.plateau
        if plateau is None:
            return []
        if not self._began:
            self._began = True
            self._stories.begin(moved.before if isinstance(moved, Step) else plateau)
        if isinstance(moved, Step):
            self._progress.targets.division_mg = self._settler.division_mg
            self._stories.step(moved, self._case(reading.taken_us))
            self._pitcher_rests = None
            return self._rested(moved.after)
        if isinstance(moved, Motion):
            return self._moving(moved)
        if plateau.rested_us() >= CALM_US or not self._settler.resting:
            return []
        return [] if reading.quality is Quality.IN_MOTION else self._rested(plateau)

    def finish(self) -> list[Finding]:
        """Tell what is still being weighed: the lot is being closed."""
        plateau = self._settler.plateau
        return self._settle(plateau) if plateau is not None else []

    def _case(self, at_us: int) -> Case:
        return Case(
            self._progress.targets,
            self._warmth_at(at_us),
            self._settler.division_mg,
            self._settler.band_mg,
            self._typed,
        )

    def _rested(self, plateau: Plateau) -> list[Finding]:
        self._stories.rest(plateau)
        return self._teller.tell(self._stories, plateau, self._settler.band_mg)

    def _settle(self, plateau: Plateau) -> list[Finding]:
        """Tell what is open as it last rested.

        While the scale stays in motion that is asked at reading after reading. Once nothing was
        found, nothing will be: steps and marks make the stories anew, a rest makes a new plateau,
        and what begins to be poured is a finding.
        """
        asked = plateau, self._stories.all, self._settler.band_mg
        if self._settled == asked:
            return []
        self._stories.rest(plateau)
        findings = self._teller.settle(self._stories, plateau, self._settler.band_mg)
        self._settled = None if findings else asked
        return findings

    # ------------------------------------------------------------ moves of the scale

    def _moving(self, motion: Motion) -> list[Finding]:
        """Tell early that something is being poured, while it can still be stopped."""
        if motion.change_mg <= self._settler.band_mg:
            self._back_us = motion.at_us
        if motion.abrupt and motion.change_mg < 0:
            return self._leaving(motion)
        if self._unrest(motion):
            return self._settle(motion.before)
        if motion.abrupt or motion.lasted_us < SURE_MOTION_US or motion.change_mg <= 0:
            return []
        rising = self._surely_poured(motion)
        if rising is None:
            return []
        pour = rising.pour
        findings: list[Finding] = []
        opened = self.scene.open
        if opened is not None and opened.key != pour.key:
            findings += self._settle(motion.before)
        seen = Seen(motion.at_us, motion.index)
        self._settled = None
        return findings + self._teller.begin(pour.key, rising.start, seen, apart=pour.apart)

    def _unrest(self, motion: Motion) -> bool:
        """Tell whether the scale goes up and down, as under a spoon: what rested is all of it."""
        restless = self._back_us > motion.before.to_us + UNREST_US
        opened = self.scene.open
        return restless and opened is not None and self.scene.load is Load.PITCHER

    def _surely_poured(self, motion: Motion) -> Rising | None:
        """Return what is being poured, None while that is not sure or once it was told."""
        rising = self._stories.rising(motion, self._case(motion.at_us), self._teller.told)
        longer_s = max(0, motion.lasted_us - SURE_MOTION_US) / 1e6
        sure = max(LEAST_SURE_RISING, SURE_RISING - LESS_SURE_PER_S * longer_s)
        if rising is None or rising.chance < sure:
            return None
        pour, least = rising.pour, SURE_RISE_MG
        if pour.key.kind is WeighingKind.FRAGRANCE:
            least = pour.target_mg // SURE_FRAGRANCE_DIVISOR
        return rising if motion.change_mg >= least else None

    def _leaving(self, motion: Motion) -> list[Finding]:
        """Tell what is in a container as soon as it leaves."""
        scene = self.scene
        opened = scene.open
        if opened is None or scene.load is Load.THING:
            return []
        if opened.key.kind is WeighingKind.WAX:
            return []  # tared, or lifted for a moment: the rest of the wax may follow
        least = max(LEAST_CONTAINER_MG, scene.in_container_mg // 2)
        leaves = -motion.change_mg >= least and motion.lasted_us >= SURE_LEAVING_US
        return self._settle(motion.before) if leaves else []


def _next_pitcher(scene: Scene) -> tuple[Scene, float]:
    return scene.turned(), 0.0


def _scents(scene: Scene) -> tuple[Scene, float]:
    return scene.but(scent_marked=True), 0.0


def _stirs(scene: Scene) -> tuple[Scene, float]:
    return scene, 0.0 if scene.fragrance_mg is not None else NOTHING_TO_STIR


def _pours(scene: Scene) -> tuple[Scene, float]:
    return scene.but(stage=Stage.POUR), 0.0
