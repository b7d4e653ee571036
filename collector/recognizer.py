"""Readings of the scale and marks in; wax drawn, fragrance added and vessels filled out.

The recognizer follows one lot on one scale. `Settler` says when the scale rests, `Pan` what
stands on it, `expectations` what a rise most likely is; here the three become weighings.
"""

from collections import Counter

import msgspec

from collector.additions import Addition, expect_fill, expect_fragrance, expect_wax
from collector.batch_sheet import BatchSheet
from collector.events import Evidence, WeighingKind
from collector.expectations import Expectation, Outlook, Stage, jump_kind, poured_kind
from collector.pan import LEAST_CONTAINER_MG, ZERO_MG, Load, Pan
from collector.phases import Edge, Phase
from collector.readings import Reading
from collector.recipes import Recipe
from collector.weighings import Motion, Plateau, Scale, Settler, Step

SURE_MOTION_US = 1_200_000
"""A gradual rise that has lasted this long is being poured, not put down."""

SURE_RISE_MG = 15_000
"""A rise in a vessel or pitcher that is more than a drop."""

SURE_FRAGRANCE_DIVISOR = 20
"""A twentieth of the fragrance target is more than a drip from the bottle."""


class Begun(msgspec.Struct, frozen=True):
    """An addition began at `at_us`, the last moment at which the scale still rested."""

    kind: WeighingKind
    pitcher: int
    vessel: int | None
    at_us: int


class Weighed(msgspec.Struct, frozen=True):
    """An addition came to rest: its mass and what it should have been; 0.001 g."""

    kind: WeighingKind
    pitcher: int
    vessel: int | None
    mass_mg: int
    expected: Expectation
    began_us: int
    settled_us: int
    evidence: Evidence
    revision: int


Finding = Begun | Weighed


class Recognizer:
    """Follows one lot on one scale."""

    def __init__(self, recipe: Recipe, sheet: BatchSheet, channel: str) -> None:
        self._recipe = recipe
        self._sheet = sheet
        self._channel = channel
        self._settler = Settler()
        self._open: Addition | None = None
        self._aside: Addition | None = None  # in the load that was lifted off
        self._revisions: Counter[tuple[WeighingKind, int, int | None]] = Counter()
        self.pan = Pan()
        self.stage = Stage.WAX
        self.pitcher = 1
        self.filled = 0
        self.wax_mg: int | None = None
        self.fragrance_mg: int | None = None

    # ------------------------------------------------------------ what others ask

    @property
    def scale(self) -> Scale:
        """Whether the scale rests."""
        return self._settler.state

    @property
    def next_kind(self) -> WeighingKind:
        """What is weighed at this stage."""
        kinds = {Stage.WAX: WeighingKind.WAX, Stage.FRAGRANCE: WeighingKind.FRAGRANCE}
        return kinds.get(self.stage, WeighingKind.FILL)

    @property
    def base_mg(self) -> int | None:
        """The display's value without what is being weighed now; None where nothing stands."""
        if self._open is not None and self._open.kind is self.next_kind:
            return self._open.base_mg
        plateau = self._settler.plateau
        return None if plateau is None or self.pan.load is Load.NOTHING else plateau.value_mg

    @property
    def vessels_due(self) -> int:
        """How many vessels should be filled when this pitcher is empty."""
        return sum(pitcher.vessels for pitcher in self._sheet.pitchers[: self.pitcher])

    @property
    def more_pitchers(self) -> bool:
        """Whether the lot has a pitcher after this one."""
        return self.pitcher < len(self._sheet.pitchers)

    def expected(self, kind: WeighingKind) -> Expectation:
        """Return what a weighing of this kind should come to now."""
        if kind is WeighingKind.WAX:
            return expect_wax(self._recipe, self._sheet, self.pitcher)
        if kind is WeighingKind.FRAGRANCE:
            wax = self.wax_mg or self._sheet.pitchers[self.pitcher - 1].wax_mg
            return expect_fragrance(self._recipe, wax)
        return expect_fill(self._recipe)

    @property
    def _outlook(self) -> Outlook:
        return Outlook(
            self.stage,
            self.expected(WeighingKind.WAX),
            self.expected(WeighingKind.FRAGRANCE),
            self.expected(WeighingKind.FILL),
            self.wax_mg,
            self.fragrance_mg,
            self.more_pitchers,
        )

    # ------------------------------------------------------------ inputs

    def mark(self, phase: Phase, edge: Edge) -> list[Finding]:
        """Take a person's mark: it moves the stage where the scale alone cannot tell."""
        plateau = self._settler.plateau
        if edge is Edge.END or plateau is None:
            return []
        findings = self._settle_open(plateau)
        if phase is Phase.DRAW_WAX and self.stage is Stage.POUR and self.more_pitchers:
            self._next_pitcher()
        elif phase is Phase.ADD_FRAGRANCE and self.stage is Stage.WAX:
            self.stage = Stage.FRAGRANCE
        elif phase is Phase.POUR:
            self.stage = Stage.POUR
        return findings

    def read(self, reading: Reading) -> list[Finding]:
        """Take one reading of the scale."""
        moved = self._settler.feed(reading)
        if isinstance(moved, Step):
            return [*self._stepped(moved), *self._rested(moved.after)]
        if isinstance(moved, Motion):
            return self._moving(moved)
        plateau = self._settler.plateau
        resting = self._settler.state is Scale.RESTING and plateau is not None
        return self._rested(plateau) if resting and plateau is not None else []

    def finish(self) -> list[Finding]:
        """Accept what is still being weighed: the lot is being closed."""
        plateau = self._settler.plateau
        return self._settle_open(plateau) if plateau is not None else []

    # ------------------------------------------------------------ moves of the scale

    def _stepped(self, step: Step) -> list[Finding]:
        before, after = step.before.value_mg, step.after.value_mg
        if abs(after) <= ZERO_MG < abs(before):
            return self._to_zero(step)
        if step.change_mg < 0:
            return self._lowered(step)
        if step.abrupt:
            return self._put_on(step)
        kind = self._poured_kind(before, step.change_mg, settled=True)
        self.pan.pours_seen = True
        return [] if kind is None else self._begin(kind, step.before)

    def _to_zero(self, step: Step) -> list[Finding]:
        """Tared, or relieved of its load; from below zero, zeroed or loaded again."""
        findings = self._settle_open(step.before)
        before = step.before.value_mg
        if before < 0:
            if self.pan.zero_again(before) and self._open is not None:
                self._open.base_mg -= before
            elif self._open is not None:
                self._aside, self._open = self._open, None
            return findings
        swapped = self.pan.load is Load.VESSEL or self.stage >= Stage.BLEND
        tared = self.pan.zero_from(before, self._contents_mg(before), swapped=swapped)
        filling = self._open is not None and self._open.kind is WeighingKind.FILL
        if tared and not filling and self._open is not None:
            self._open.base_mg -= before
        else:
            self._aside, self._open = self._open, None
        self._turn_to_next_pitcher()
        return findings

    def _lowered(self, step: Step) -> list[Finding]:
        drop = -step.change_mg
        contents = self._contents_mg(step.before.value_mg)
        if drop < LEAST_CONTAINER_MG or drop * 2 < contents:
            if step.abrupt and self._open is not None:  # a spoon, a probe, a hand taken away
                self._open.base_mg -= drop
            return []  # otherwise some was taken out again: what is left is weighed at rest
        findings = self._settle_open(step.before)
        self.pan.take_off(drop, contents)
        self._aside, self._open = self._open, None
        self._turn_to_next_pitcher()
        return findings

    def _put_on(self, step: Step) -> list[Finding]:
        back = self.pan.put_back(step.change_mg)
        if back is not None:
            self.pan.certain(back.load, step.after.value_mg - back.contents_mg)
            self._open, self._aside = self._aside, None
            if self._open is not None and self._open.accepted_mg is not None:
                self._open.base_mg = step.after.value_mg - self._open.accepted_mg
            return []
        kind = jump_kind(self._outlook, self.pan, step.change_mg)
        if kind is not None:
            return self._jump_in(kind, step)
        if self.pan.load is Load.PITCHER:
            if self._open is not None:
                self._open.base_mg += step.change_mg
        elif step.change_mg >= LEAST_CONTAINER_MG:
            container = Load.PITCHER if self.stage is Stage.WAX else Load.VESSEL
            self.pan.put_on(container, step.after.value_mg)
            self._open = None
        return []

    def _jump_in(self, kind: WeighingKind, step: Step) -> list[Finding]:
        lifted, away = self.pan.lifted, self.pan.load is Load.NOTHING
        findings = self._begin(kind, step.before, sure=False)
        if kind is WeighingKind.WAX and away and lifted is not None and self._open is not None:
            # Drawn away from the scale: the pitcher came back with the wax in it.
            self._open.base_mg += lifted.mass_mg
            self.pan.certain(Load.PITCHER, self._open.base_mg)
        return findings

    def _moving(self, motion: Motion) -> list[Finding]:
        """Tell early that something is being poured, while it can still be stopped."""
        if motion.abrupt or motion.lasted_us < SURE_MOTION_US or motion.change_mg <= 0:
            return []
        kind = self._poured_kind(motion.before.value_mg, motion.change_mg, settled=False)
        if kind is None:
            return []
        least = SURE_RISE_MG
        if kind is WeighingKind.FRAGRANCE:
            least = self.expected(kind).target_mg // SURE_FRAGRANCE_DIVISOR
        return self._begin(kind, motion.before) if motion.change_mg >= least else []

    # ------------------------------------------------------------ additions

    def _poured_kind(self, before_mg: int, change_mg: int, *, settled: bool) -> WeighingKind | None:
        going_on = self._open is not None and self._open.accepted_mg is None
        if going_on and self._open is not None and self.pan.load is Load.PITCHER:
            return self._open.kind
        return poured_kind(self._outlook, self.pan, before_mg, change_mg, settled=settled)

    def _begin(self, kind: WeighingKind, before: Plateau, *, sure: bool = True) -> list[Finding]:
        """Open an addition; `sure` says that it is poured, so a container must stand there."""
        if self._open is not None and self._open.kind is kind:
            return []
        findings = self._settle_open(before)
        drawn = kind is WeighingKind.WAX and self.pan.load is not Load.PITCHER
        if drawn and self.stage is Stage.POUR and self.more_pitchers:
            self._next_pitcher()
        if kind is WeighingKind.FILL:
            self.stage = Stage.POUR
        vessel = self.filled + 1 if kind is WeighingKind.FILL else None
        already = {WeighingKind.WAX: self.wax_mg, WeighingKind.FRAGRANCE: self.fragrance_mg}
        base = before.value_mg - (already.get(kind) or 0)
        self._open = Addition(kind, base, before, vessel)
        load = Load.VESSEL if kind is WeighingKind.FILL else Load.PITCHER
        if sure and (self.pan.load is not load or kind is WeighingKind.FILL):
            self.pan.certain(load, before.value_mg)
        return [*findings, Begun(kind, self.pitcher, vessel, before.to_us)]

    def _rested(self, plateau: Plateau) -> list[Finding]:
        addition = self._open
        if addition is None or self.pan.load is Load.NOTHING:
            return []
        known, net = addition.accepted_mg, addition.net_mg(plateau.value_mg)
        if known is not None and abs(net - known) <= self._settler.band_mg:
            return []
        expected = self.expected(addition.kind)
        if not addition.is_final(plateau, expected):
            return []
        return [self._accept(addition, plateau, expected)]

    def _settle_open(self, plateau: Plateau) -> list[Finding]:
        """Accept what is open as it last rested: its container leaves, or the next thing comes."""
        addition = self._open
        if addition is None or addition.accepted_mg is not None:
            return []
        expected = self.expected(addition.kind)
        if not addition.counts(plateau, expected):
            return []
        return [self._accept(addition, plateau, expected)]

    def _accept(self, addition: Addition, plateau: Plateau, expected: Expectation) -> Weighed:
        net = addition.net_mg(plateau.value_mg)
        key = (addition.kind, self.pitcher, addition.vessel)
        first = key not in self._revisions
        self._revisions[key] += 1
        addition.accepted_mg = net
        if addition.kind is WeighingKind.WAX:
            self.wax_mg = net
            self.stage = max(self.stage, Stage.FRAGRANCE)
        elif addition.kind is WeighingKind.FRAGRANCE:
            self.fragrance_mg = net
            self.stage = max(self.stage, Stage.BLEND)
        elif first:
            self.filled += 1
        return Weighed(
            kind=addition.kind,
            pitcher=self.pitcher,
            vessel=addition.vessel,
            mass_mg=net,
            expected=expected,
            began_us=addition.start.to_us,
            settled_us=plateau.steady_us,
            evidence=addition.evidence(self._channel, plateau),
            revision=self._revisions[key] - 1,
        )

    def _contents_mg(self, display_mg: int) -> int:
        """Return what the container on the pan holds; 0 where that is not known."""
        if self.pan.container_mg is not None:
            return max(0, display_mg - self.pan.container_mg)
        return max(0, self._open.net_mg(display_mg)) if self._open is not None else 0

    def _turn_to_next_pitcher(self) -> None:
        done = self.stage is Stage.POUR and self.filled >= self.vessels_due
        if done and self.more_pitchers:
            self._next_pitcher()

    def _next_pitcher(self) -> None:
        self.pitcher += 1
        self.stage = Stage.WAX
        self.wax_mg = self.fragrance_mg = None
        self._open = None
