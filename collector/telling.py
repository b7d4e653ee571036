"""When what the scenes agree on is told: that something is being poured, and what it came to."""

from dataclasses import dataclass

from collector.additions import Addition, Key
from collector.events import Evidence, WeighingKind
from collector.expectations import Expectation
from collector.findings import Begun, Finding, Mistaken, Tipped, Weighed
from collector.progress import Progress
from collector.scene import Scene
from collector.settling import counts, drawn, is_final, trifle_mg
from collector.stories import Stories
from collector.weighings import Plateau

SURE = 0.85
"""What scenes as likely as this together agree on is told."""

DOUBT_US = 1_500_000
AT_ONCE_DOUBT_US = 500_000
DOUBT_PER_S = 0.15
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
        scene = stories.best
        findings = self._take_back(stories)
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
        if key in self.told:
            return []
        self.told[key] = Told(start.to_us)
        if key.pitcher > self._progress.pitcher:
            self._progress.turn_to(key.pitcher)
        if key.tipped:
            return [Tipped(key.pitcher, start.to_us, None)]
        self._progress.began(key.kind)
        count = seen.index - start.first + 1
        evidence = Evidence(self._channel, start.from_us, seen.at_us, count)
        return [
            Begun(
                kind=key.kind,
                pitcher=key.pitcher,
                vessel=key.vessel,
                at_us=start.to_us,
                apart=apart,
                evidence=evidence,
            )
        ]

    # ------------------------------------------------------------ what is sure

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
        doubt = max(0, waited_us - patience_us) / 1e6 * DOUBT_PER_S
        return stories.chance(holds) >= max(LEAST_SURE, SURE - doubt)

    def _take_back(self, stories: Stories) -> list[Finding]:
        """Take back what the scenes no longer hold."""
        scene = stories.best
        gone = [
            key
            for key in self.told
            if key.pitcher >= scene.pitcher - 1
            and scene.find(key) is None
            and _unheard(stories, key) >= SURE
        ]
        findings: list[Finding] = []
        for key in gone:
            told = self.told.pop(key)
            if not key.tipped and (key.kind is not WeighingKind.FILL or told.mass_mg is None):
                findings.append(Mistaken(key.kind, key.pitcher))
        return findings

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
        return changed <= trifle_mg(told.rested, plateau, self._division_mg, band_mg)

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


def _unheard(stories: Stories, key: Key) -> float:
    """Return how likely it is that an addition never was."""
    return stories.chance(lambda scene: scene.find(key) is None)
