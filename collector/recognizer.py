"""Readings of the scale and marks in; wax drawn, fragrance added and vessels filled out.

The recognizer follows one lot on one scale. `Settler` says when the scale rests, `Pan` what
stands on it, `expectations` what a rise most likely is; here the three become weighings.
"""

from collections import Counter
from copy import copy

import msgspec

from collector.additions import Addition
from collector.events import WeighingKind
from collector.expectations import (
    AGAIN_PPM,
    Expectation,
    Outlook,
    Stage,
    drawn_away,
    into_tared,
    jump_kind,
    poured_kind,
)
from collector.findings import Begun, Finding, Mistaken, Weighed
from collector.pan import LEAST_CONTAINER_MG, ZERO_MG, Load, Pan, same_mass
from collector.phases import Edge, Phase, PhaseName
from collector.progress import Progress
from collector.readings import Reading
from collector.weighings import Motion, Plateau, Scale, Settler, Step

SURE_MOTION_US = 1_200_000
"""A gradual rise that has lasted this long is being poured, not put down."""

SURE_LEAVING_US = 400_000
"""A display that is far down for this long is no knock at the bench."""

SURE_RISE_MG = 15_000
"""A rise in a vessel or pitcher that is more than a drop."""

SURE_FRAGRANCE_DIVISOR = 20
"""A twentieth of the fragrance target is more than a drip from the bottle."""


class Touched(msgspec.Struct, frozen=True):
    """How things stood at a display value before something was put on the scale."""

    display_mg: int
    pan: Pan
    addition: Addition | None
    base_mg: int


class Recognizer:
    """Follows one lot on one scale."""

    def __init__(self, progress: Progress, channel: str, *, typed: bool = False) -> None:
        self._progress = progress
        self._channel = channel
        self._settler = Settler(typed=typed)
        self._open: Addition | None = None
        self._aside: Addition | None = None  # in the load that was lifted off
        self._touched: Touched | None = None
        self._revisions: Counter[tuple[WeighingKind, int, int | None]] = Counter()
        self.pan = Pan()

    # ------------------------------------------------------------ what others ask

    @property
    def scale(self) -> Scale:
        """Whether the scale rests."""
        return self._settler.state

    @property
    def base_mg(self) -> int | None:
        """The display's value without what is being weighed now; None where nothing stands."""
        if self._open is not None and self._open.kind is self._progress.next_kind:
            return self._open.base_mg
        plateau = self._settler.plateau
        return None if plateau is None or self.pan.load is Load.NOTHING else plateau.value_mg

    # ------------------------------------------------------------ inputs

    def mark(self, phase: PhaseName, edge: Edge) -> list[Finding]:
        """Take a person's mark: it moves the stage where the scale alone cannot tell."""
        plateau = self._settler.plateau
        if edge is Edge.END or plateau is None:
            return []
        if self._contradicts(plateau):
            return []
        findings = self._settle_open(plateau)
        if (
            phase == Phase.DRAW_WAX
            and self._progress.stage is Stage.POUR
            and self._progress.more_pitchers
        ):
            self._next_pitcher()
        elif phase == Phase.ADD_FRAGRANCE and self._progress.stage is Stage.WAX:
            self._progress.stage = Stage.FRAGRANCE
        elif phase == Phase.POUR:
            self._progress.stage = Stage.POUR
        return findings

    def _contradicts(self, plateau: Plateau) -> bool:
        """Tell whether the scale shows that a mark came too early: the wax is still being drawn.

        A key pressed by mistake must not turn the rest of the wax into fragrance.
        """
        addition = self._open
        if addition is None or addition.kind is not WeighingKind.WAX:
            return False
        drawn = addition.drawn(plateau, self._progress.expected(addition.kind))
        return self.scale is Scale.MOVING or not drawn

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
        kind = self._poured_kind(step.before, step.change_mg, settled=True)
        self.pan.pours_seen = True
        return [] if kind is None else self._begin(kind, step.before)

    def _to_zero(self, step: Step) -> list[Finding]:
        """Tared, or relieved of its load; from below zero, zeroed or loaded again."""
        self._touched = None
        findings = self._settle_open(step.before)
        before = step.before.value_mg
        if before < 0:
            if self.pan.zero_again(before) and self._open is not None:
                self._open.base_mg -= before
            elif self._open is not None:
                self._aside, self._open = self._open, None
            return findings
        swapped = self.pan.load is Load.VESSEL or self._progress.stage >= Stage.BLEND
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
        if self._let_go(step.after.value_mg):
            return []
        findings = self._settle_open(step.before)
        container = self.pan.container_mg if self.pan.load is Load.VESSEL else None
        self.pan.take_off(drop, contents)
        self._aside, self._open = self._open, None
        left = step.after.value_mg
        if container is not None and left >= LEAST_CONTAINER_MG and same_mass(left, container):
            self.pan.put_on(Load.VESSEL, left, left)  # swapped: the next one stands there
        self._turn_to_next_pitcher()
        return findings

    def _let_go(self, display_mg: int) -> bool:
        """Take back what a hand on the scale looked like, once the display is where it was."""
        touched, self._touched = self._touched, None
        if touched is None or abs(touched.display_mg - display_mg) > self._settler.band_mg:
            return False
        if touched.pan.load not in (Load.PITCHER, Load.VESSEL):
            return False
        self.pan, self._open = touched.pan, touched.addition
        if self._open is not None:
            self._open.base_mg = touched.base_mg
        return True

    def _put_on(self, step: Step) -> list[Finding]:
        self._touched = None
        back = self.pan.put_back(step.change_mg)
        if back is not None:
            self.pan.certain(back.load, step.after.value_mg - back.contents_mg)
            self._open, self._aside = self._aside, None
            if self._open is not None and self._open.accepted_mg is not None:
                self._open.base_mg = step.after.value_mg - self._open.accepted_mg
            return []
        kind = jump_kind(self._outlook(step.before), self.pan, step.change_mg)
        if kind is not None:
            return self._jump_in(kind, step)
        base = self._open.base_mg if self._open is not None else 0
        self._touched = Touched(step.before.value_mg, copy(self.pan), self._open, base)
        if self.pan.load is Load.PITCHER and not self.pan.maybe_gone_unseen:
            if self._open is not None:
                self._open.base_mg += step.change_mg
        elif step.change_mg >= LEAST_CONTAINER_MG:
            again = self._progress.stage is Stage.POUR and self.pan.is_pitcher(step.change_mg)
            if again and self._progress.more_pitchers:
                self._next_pitcher()
            container = Load.PITCHER if self._progress.stage is Stage.WAX else Load.VESSEL
            self.pan.put_on(container, step.after.value_mg, step.change_mg)
            self._open = None
        return []

    def _jump_in(self, kind: WeighingKind, step: Step) -> list[Finding]:
        away = drawn_away(self._outlook(step.before), self.pan, step.change_mg)
        empty_mg = self.pan.empty_away_mg or 0
        findings = self._begin(kind, step.before, sure=kind is WeighingKind.FILL)
        if away and self._open is not None:
            self._open.base_mg += empty_mg
            self.pan.certain(Load.PITCHER, self._open.base_mg)
        return findings

    def _moving(self, motion: Motion) -> list[Finding]:
        """Tell early that something is being poured, while it can still be stopped."""
        if motion.abrupt and motion.change_mg < 0:
            return self._leaving(motion)
        if motion.abrupt or motion.lasted_us < SURE_MOTION_US or motion.change_mg <= 0:
            return []
        kind = self._poured_kind(motion.before, motion.change_mg, settled=False)
        if kind is None:
            return []
        least = SURE_RISE_MG
        if kind is WeighingKind.FRAGRANCE:
            least = self._progress.expected(kind).target_mg // SURE_FRAGRANCE_DIVISOR
        return self._begin(kind, motion.before) if motion.change_mg >= least else []

    def _leaving(self, motion: Motion) -> list[Finding]:
        """Accept what is in a container as soon as it leaves."""
        contents = self._contents_mg(motion.before.value_mg)
        least = max(LEAST_CONTAINER_MG, contents // 2)
        leaves = -motion.change_mg >= least and motion.lasted_us >= SURE_LEAVING_US
        return self._settle_open(motion.before) if leaves and self._touched is None else []

    # ------------------------------------------------------------ additions

    def _outlook(self, before: Plateau) -> Outlook:
        """Return what can come next as the scale leaves a plateau."""
        drawing, wax = self._open, self._progress.expected(WeighingKind.WAX)
        drawn = drawing is not None and drawing.drawn(before, wax)
        rests = drawing.net_mg(before.value_mg) if drawing is not None and drawn else None
        return self._progress.outlook(rests)

    def _poured_kind(
        self, before: Plateau, change_mg: int, *, settled: bool
    ) -> WeighingKind | None:
        outlook, addition = self._outlook(before), self._open
        going_on = addition is not None and addition.accepted_mg is None
        if going_on and addition is not None and self._mistaken(addition, outlook, change_mg):
            return WeighingKind.FILL
        if going_on and addition is not None and self.pan.load is Load.PITCHER:
            # Wax that is short may be topped up; only what can be the fragrance is taken for it.
            drawn = addition.kind is WeighingKind.WAX and outlook.stage is Stage.FRAGRANCE
            if not drawn or (settled and not outlook.fragrance.near(change_mg, *AGAIN_PPM)):
                return addition.kind
        return poured_kind(outlook, self.pan, before.value_mg, change_mg, settled=settled)

    def _mistaken(self, addition: Addition, outlook: Outlook, change_mg: int) -> bool:
        """Tell whether what looked like fragrance is far too much: a fill without fragrance."""
        if (
            addition.kind is not WeighingKind.FRAGRANCE
            or self._progress.stage is not Stage.FRAGRANCE
        ):
            return False
        from_zero = abs(addition.start.value_mg) <= ZERO_MG
        return from_zero and into_tared(outlook, self.pan, change_mg) is WeighingKind.FILL

    def _begin(self, kind: WeighingKind, before: Plateau, *, sure: bool = True) -> list[Finding]:
        """Open an addition; `sure` says that it is poured, so a container must stand there."""
        self._touched = None
        if self._open is not None and self._open.kind is kind:
            return []
        findings = self._settle_open(before)
        mistaken = kind is WeighingKind.FILL and self._open is not None
        if mistaken and self._open is not None and self._open.accepted_mg is None:
            findings.append(Mistaken(self._open.kind, self._progress.pitcher))
        drawn = kind is WeighingKind.WAX and self.pan.load is not Load.PITCHER
        if drawn and self._progress.stage is Stage.POUR and self._progress.more_pitchers:
            self._next_pitcher()
        if kind is WeighingKind.FILL:
            self._progress.stage = Stage.POUR
        vessel = self._progress.filled + 1 if kind is WeighingKind.FILL else None
        base = before.value_mg - self._progress.already_mg(kind)
        self._open = Addition(kind, base, before, vessel)
        load = Load.VESSEL if kind is WeighingKind.FILL else Load.PITCHER
        if sure and (self.pan.load is not load or kind is WeighingKind.FILL):
            self.pan.certain(load, before.value_mg)
        return [*findings, Begun(kind, self._progress.pitcher, vessel, before.to_us)]

    def _rested(self, plateau: Plateau) -> list[Finding]:
        addition = self._open
        if addition is None or self.pan.load is Load.NOTHING:
            return []
        known, net = addition.accepted_mg, addition.net_mg(plateau.value_mg)
        if known is not None and abs(net - known) <= self._settler.band_mg:
            return []
        expected = self._progress.expected(addition.kind)
        if not addition.is_final(plateau, expected):
            return []
        return [self._accept(addition, plateau, expected)]

    def _settle_open(self, plateau: Plateau) -> list[Finding]:
        """Accept what is open as it last rested: its container leaves, or the next thing comes."""
        addition = self._open
        if addition is None or addition.accepted_mg is not None:
            return []
        expected = self._progress.expected(addition.kind)
        if not addition.counts(plateau, expected):
            return []
        return [self._accept(addition, plateau, expected)]

    def _accept(self, addition: Addition, plateau: Plateau, expected: Expectation) -> Weighed:
        net = addition.net_mg(plateau.value_mg)
        key = (addition.kind, self._progress.pitcher, addition.vessel)
        first = key not in self._revisions
        self._revisions[key] += 1
        addition.accepted_mg = net
        self._progress.weighed(addition.kind, net, first=first)
        if addition.kind is not WeighingKind.FILL and self.pan.load is Load.UNKNOWN:
            self.pan.certain(Load.PITCHER, addition.base_mg)
        return Weighed(
            kind=addition.kind,
            pitcher=self._progress.pitcher,
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
        if self._progress.pitcher_done:
            self._next_pitcher()

    def _next_pitcher(self) -> None:
        self._progress.next_pitcher()
        self._open = None
