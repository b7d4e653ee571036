"""When what the scenes agree on is told: that something is being poured, and what it came to."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from collector.additions import Addition, Key
from collector.conclusions import Evidence, WeighingKind
from collector.expectations import Expectation
from collector.findings import Begun, Finding, Mistaken, Tipped, Weighed
from collector.progress import Progress
from collector.scene import Scene
from collector.settling import counts, drawn, is_final, trifle_mg
from collector.stories import Stories, Story
from collector.weighings import Plateau

SURE = 0.85
"""What scenes as likely as this together agree on is told."""

DOUBT_US = 1_500_000
AT_ONCE_DOUBT_US = 500_000
DOUBT_PER_S = 0.15
AT_ONCE_DOUBT_PER_S = 0.25
LEAST_SURE = 0.4
"""Who is kept waiting longer than that learns what is likelier than anything else: the longer,
the less sure. Of what came at once no more will be seen before the next move."""

SAME_START_US = 4_000_000
SAME_MG = 1_500

BRIEF_US = 1_200_000
"""For so long the last drops must have rested when the container leaves."""


@dataclass
class Told:
    """What was told of one addition: that it began, and its latest mass (0.001 g) at a rest."""

    began_us: int
    mass_mg: int | None = None
    rested: Plateau | None = None
    revisions: int = 0


class Seen:
    """The reading that made something sure: its time and its number."""

    __slots__ = ("at_us", "index")

    def __init__(self, at_us: int, index: int) -> None:
        self.at_us = at_us
        self.index = index


class Teller:
    """Turns scenes into findings, each once, and takes back what turned out otherwise."""

    def __init__(self, progress: Progress, channel: str) -> None:
        self._progress = progress
        self._channel = channel
        self.told: dict[Key, Told] = {}
        self._thought: Sequence[Story] | None = None
        self._held: Sequence[Story] = ()

    # ------------------------------------------------------------ telling

    def tell(self, stories: Stories, plateau: Plateau, band_mg: int) -> list[Finding]:
        """Tell what is sure now that the scale rests at a plateau."""
        return self._tell(stories, plateau, band_mg, closing=False)

    def settle(self, stories: Stories, plateau: Plateau, band_mg: int) -> list[Finding]:
        """Tell what is open as it last rested: its container leaves, or the next thing comes."""
        return self._tell(stories, plateau, band_mg, closing=True)

    def _tell(
        self, stories: Stories, plateau: Plateau, band_mg: int, *, closing: bool
    ) -> list[Finding]:
        findings = self._take_back(stories)
        scene = self._hold(stories)
        additions = list(scene.additions())
        for place, addition in enumerate(additions):
            if self._as_told(addition, band_mg, plateau) and addition is not scene.open:
                continue
            if not self._agreed(stories, addition, plateau):
                break
            is_open = addition is scene.open
            if is_open and not closing and not self._rests(addition, scene, plateau):
                findings += self._began_if_sure(addition, plateau)
                break
            goes_on = place + 1 == len(additions) and not closing
            findings += self._weigh(addition, scene, plateau, band_mg, last=is_open or goes_on)
        self._turn(stories)
        return findings

    def begin(self, key: Key, start: Plateau, seen: Seen, *, apart: bool) -> list[Finding]:
        """Tell that something is being poured, as the readings up to `seen` show."""
        before = self.told.get(key)
        if before is not None and abs(start.to_us - before.began_us) <= SAME_START_US:
            return []
        same = [k for k, told in self.told.items() if _one_motion(told, start) and k != key]
        findings = self._mistaken([*same, *([key] if before is not None else [])])
        revisions = before.revisions if before is not None else 0
        self.told[key] = Told(start.to_us, revisions=revisions)
        if key.pitcher > self._progress.pitcher:
            self._progress.turn_to(key.pitcher)
        if key.tipped:
            return [*findings, Tipped(key.pitcher, start.to_us, None)]
        self._progress.began(key.kind)
        count = seen.index - start.first + 1
        evidence = Evidence(self._channel, start.from_us, seen.at_us, count)
        begun = Begun(
            kind=key.kind,
            pitcher=key.pitcher,
            vessel=key.vessel,
            at_us=start.to_us,
            apart=apart,
            evidence=evidence,
        )
        return [*findings, begun]

    # ------------------------------------------------------------ what is sure

    def _hold(self, stories: Stories) -> Scene:
        """Return the likeliest scene that holds what was told, while that may be true."""
        if self._thought is not stories.all:  # a step of the scale makes them anew
            self._thought = stories.all
            held = [story for story in stories.all if self._holds(story.scene)]
            sure = bool(held) and stories.chance(self._holds) > 1.0 - SURE
            self._held = held if sure else stories.all
        return stories.likeliest(self._held)

    def _holds(self, scene: Scene) -> bool:
        """Tell whether a scene leaves what was told as it is."""
        for key, told in self.told.items():
            if told.mass_mg is None or key.tipped:
                continue
            known = scene.find(key)
            if known is None:
                return False
            if known is not scene.open and known.net_mg < told.mass_mg - SAME_MG:
                return False
        return True

    def _agreed(self, stories: Stories, addition: Addition, plateau: Plateau) -> bool:
        """Tell whether the scenes agree on an addition."""

        def holds(scene: Scene) -> bool:
            other = scene.find(addition.key)
            return (
                other is not None
                and abs(other.start.to_us - addition.start.to_us) <= SAME_START_US
                and abs(other.net_mg - addition.net_mg) <= SAME_MG
            )

        waited_us = plateau.to_us - max(addition.gone_us, addition.start.to_us)
        patience_us = AT_ONCE_DOUBT_US if addition.at_once else DOUBT_US
        per_s = AT_ONCE_DOUBT_PER_S if addition.at_once else DOUBT_PER_S
        doubt = max(0, waited_us - patience_us) / 1e6 * per_s
        return stories.chance(holds, self._held) >= max(LEAST_SURE, SURE - doubt)

    def _take_back(self, stories: Stories) -> list[Finding]:
        """Take back what the scenes no longer hold."""
        scene = stories.best
        held = {addition.key for addition in scene.additions()}
        return self._mistaken(
            key
            for key in tuple(self.told)
            if key.pitcher >= scene.pitcher - 1
            and key not in held
            and _unheard(stories, key) >= SURE
        )

    def _mistaken(self, keys: Iterable[Key]) -> list[Finding]:
        """Take back what was told under these keys."""
        findings: list[Finding] = []
        for key in keys:
            told = self.told.pop(key)
            if key.tipped:
                continue
            weighed = told.mass_mg is not None
            if weighed:
                self._progress.withdrawn(key.kind, self._filled())
            only = not any(_alike(key, other) for other in self.told)
            if only and not weighed:
                self._progress.not_begun(key.kind)
            findings.append(Mistaken(key.kind, key.pitcher, key.vessel, weighed, only))
        return findings

    def _filled(self) -> int:
        weighed = (key.vessel for key, told in self.told.items() if told.mass_mg is not None)
        return max((vessel for vessel in weighed if vessel is not None), default=0)

    def _turn(self, stories: Stories) -> None:
        pitcher = stories.best.pitcher
        if pitcher > self._progress.pitcher:
            sure = stories.chance(lambda scene: scene.pitcher == pitcher) >= SURE
            if sure:
                self._progress.turn_to(pitcher)

    # ------------------------------------------------------------ one addition

    def _expected(self, addition: Addition, scene: Scene) -> Expectation:
        key, targets = addition.key, self._progress.targets
        if key.kind is WeighingKind.WAX:
            return targets.wax(key.pitcher)
        if key.kind is WeighingKind.FILL:
            return targets.fill()
        wax = scene.find(Key(WeighingKind.WAX, key.pitcher))
        wax_mg = wax.net_mg if wax is not None else targets.wax(key.pitcher).target_mg
        return targets.fragrance(wax_mg)

    def _as_told(self, addition: Addition, band_mg: int, plateau: Plateau) -> bool:
        told = self.told.get(addition.key)
        if told is None or told.mass_mg is None:
            return False
        changed = abs(addition.net_mg - told.mass_mg)
        return not changed or changed <= trifle_mg(told.rested, plateau, self._division_mg, band_mg)

    @property
    def _division_mg(self) -> int:
        return self._progress.targets.division_mg

    def _rests(self, addition: Addition, scene: Scene, plateau: Plateau) -> bool:
        told = self.told.get(addition.key)
        first = told is None or told.mass_mg is None
        expected = self._expected(addition, scene)
        return is_final(addition, plateau, expected, self._division_mg, first=first)

    def _began_if_sure(self, addition: Addition, plateau: Plateau) -> list[Finding]:
        seen = Seen(plateau.to_us, plateau.last)
        return self.begin(addition.key, addition.start, seen, apart=addition.apart)

    def _weigh(
        self, addition: Addition, scene: Scene, plateau: Plateau, band_mg: int, *, last: bool
    ) -> list[Finding]:
        rested = addition.rested
        if rested is None:
            return []
        expected = self._expected(addition, scene)
        findings = self._began_if_sure(addition, rested)
        told = self.told[addition.key]
        if addition.key.tipped:
            return findings + self._tip(addition, told, rested)
        if self._as_told(addition, band_mg, plateau) or not counts(addition, expected):
            return findings
        if addition is not scene.open and last and not drawn(addition, expected):
            return findings  # lifted before it was all: more may come
        brief = rested.rested_us() < BRIEF_US
        if told.mass_mg is not None and addition is not scene.open and brief:
            return findings
        told.mass_mg, told.rested = addition.net_mg, rested
        fills = max(1, addition.lost)
        for number in range(fills):
            findings.append(self._weighed(addition, number, told, expected, rested))
        told.revisions += 1
        return findings

    def _tip(self, addition: Addition, told: Told, rested: Plateau) -> list[Finding]:
        if told.mass_mg is not None:
            return []
        told.mass_mg, told.rested = addition.net_mg, rested
        return [Tipped(addition.key.pitcher, addition.start.to_us, rested.steady_us)]

    def _weighed(
        self, addition: Addition, number: int, told: Told, expected: Expectation, rested: Plateau
    ) -> Weighed:
        key = addition.key
        vessel = key.vessel + number if key.vessel is not None else None
        mass_mg = addition.net_mg // max(1, addition.lost)
        self._progress.weighed(key.kind, mass_mg, vessel)
        return Weighed(
            kind=key.kind,
            pitcher=key.pitcher,
            vessel=vessel,
            mass_mg=mass_mg,
            expected=expected,
            began_us=addition.start.to_us,
            settled_us=rested.steady_us,
            evidence=addition.evidence(self._channel, rested),
            revision=told.revisions,
            apart=addition.apart,
        )


def _one_motion(told: Told, start: Plateau) -> bool:
    """Tell whether what was told began with just this motion, of which no mass was told yet."""
    return told.mass_mg is None and told.began_us == start.to_us


def _alike(one: Key, other: Key) -> bool:
    return (one.kind, one.pitcher) == (other.kind, other.pitcher) and not other.tipped


def _unheard(stories: Stories, key: Key) -> float:
    """Return how likely it is that an addition never was."""
    return stories.chance(lambda scene: scene.find(key) is None)
