"""Readings of the scale and marks in; wax drawn, fragrance added and vessels filled out.

The recognizer follows one lot on one scale. `Settler` says when the scale rests, `Pan` what
stands on it, `expectations` what a rise most likely is; here they become additions, and `Tally`
says when an addition is a weighing.
"""

from copy import copy

import msgspec

from collector.additions import Addition
from collector.events import WeighingKind
from collector.expectations import (
    Outlook,
    Stage,
    drawn_away,
    into_tared,
    jump_kind,
    poured_kind,
)
from collector.findings import Contradicted, Finding, Mistaken, Tipped
from collector.losses import Away, fills_lost
from collector.pan import LEAST_CONTAINER_MG, ZERO_MG, Lifted, Load, Pan, same_mass
from collector.phases import Edge, Phase, PhaseName
from collector.progress import Progress
from collector.readings import Quality, Reading
from collector.tally import Seen, Tally
from collector.weighings import COARSE_MG, Motion, Plateau, Scale, Settler, Step

AFTER_THE_WAX = (Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR)
"""Phases that cannot begin while the wax is still being drawn."""

SURE_MOTION_US = 1_200_000
"""A gradual rise that has lasted this long is being poured, not put down."""

SURE_LEAVING_US = 400_000
"""A display that is far down for this long is no knock at the bench."""

SURE_RISE_MG = 15_000
"""A rise in a vessel or pitcher that is more than a drop."""

SURE_FRAGRANCE_DIVISOR = 20
"""A twentieth of the fragrance target is more than a drip from the bottle."""

SWING_US = 1_000_000
"""A full pitcher that is put down swings, and a slow display follows, for so long. Common
practice, no source."""

SOON_US = 1_600_000
SOON_COARSE_US = 2_600_000
"""Who goes on this soon after the last ladle may still be drawing wax; a coarse scale shows the
end of one and the beginning of the next late. Common practice, no source."""

LADLE_US = 5_000_000
"""After this time nobody goes on drawing wax that has met its target. Common practice, no
source."""

TIPPED_PPM = (850_000, 1_150_000)
"""Some of the fragrance stays in its beaker; so much of it must have gone into the wax."""


class Touched(msgspec.Struct, frozen=True):
    """How things stood at a display value before something was put on the scale."""

    before: Plateau
    pan: Pan
    addition: Addition | None


class Loss(msgspec.Struct, frozen=True):
    """The first fills that a pitcher seemed to have lost, and how things stood before."""

    away: Lifted
    filled: int
    fills: int


class Recognizer:
    """Follows one lot on one scale."""

    def __init__(self, progress: Progress, channel: str, *, typed: bool = False) -> None:
        self._progress = progress
        self._settler = Settler(typed=typed)
        self._touched: Touched | None = None
        self._left: Plateau | None = None  # where the full pitcher rested before it was lifted
        self._loss: Loss | None = None
        self._tipping: Plateau | None = None
        self.pan = Pan()
        self._tally = Tally(progress, self.pan, channel)

    # ------------------------------------------------------------ what others ask

    @property
    def scale(self) -> Scale:
        """Whether the scale rests."""
        return self._settler.state

    @property
    def base_mg(self) -> int | None:
        """The display's value without what is being weighed now; None where nothing stands."""
        addition = self._tally.open
        if addition is not None and addition.kind is self._progress.next_kind:
            return addition.base_mg
        plateau = self._settler.plateau
        return None if plateau is None or self.pan.load is Load.NOTHING else plateau.value_mg

    @property
    def adding(self) -> bool:
        """Whether more was poured to what was accepted last, and has not been accepted yet."""
        plateau, addition = self._settler.plateau, self._tally.open
        if plateau is None or addition is None or addition.accepted_mg is None:
            return False
        net_mg = addition.net_mg(plateau.value_mg)
        return abs(net_mg - addition.accepted_mg) > self._settler.band_mg

    # ------------------------------------------------------------ inputs

    def mark(self, phase: PhaseName, edge: Edge) -> list[Finding]:
        """Take a person's mark: it moves the stage where the scale alone cannot tell."""
        plateau = self._settler.plateau
        if edge is Edge.END or plateau is None:
            return []
        if self._contradicts(plateau):
            what = "the wax was still being drawn"
            return [Contradicted(phase, edge, what)] if phase in AFTER_THE_WAX else []
        findings = self._tally.settle(plateau)
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
        drawing = self._tally.drawing
        if drawing is None:
            return False
        drawn = drawing.drawn(plateau, self._progress.expected(WeighingKind.WAX))
        return self.scale is Scale.MOVING or not drawn

    def read(self, reading: Reading) -> list[Finding]:
        """Take one reading of the scale."""
        moved = self._settler.feed(reading)
        if isinstance(moved, Step):
            self._progress.division_mg = self._settler.division_mg
            return [*self._stepped(moved), *self._rested(moved.after)]
        if isinstance(moved, Motion):
            return self._moving(moved)
        plateau = self._settler.plateau
        if plateau is None or self.scale is not Scale.RESTING:
            return []
        return [] if reading.quality is Quality.IN_MOTION else self._rested(plateau)

    def finish(self) -> list[Finding]:
        """Accept what is still being weighed: the lot is being closed."""
        plateau = self._settler.plateau
        return self._tally.settle(plateau) if plateau is not None else []

    def _rested(self, plateau: Plateau) -> list[Finding]:
        return self._tally.rest(plateau, self._settler.band_mg)

    # ------------------------------------------------------------ moves of the scale

    def _stepped(self, step: Step) -> list[Finding]:
        before, after = step.before.value_mg, step.after.value_mg
        if abs(after) <= ZERO_MG < abs(before):
            return self._to_zero(step)
        if step.change_mg < 0:
            return self._lowered(step)
        topped_up = step.change_mg < LEAST_CONTAINER_MG and self._tally.open is not None
        if step.abrupt and not topped_up:
            return self._put_on(step)
        return self._poured(step)

    def _poured(self, step: Step) -> list[Finding]:
        tipped = self._tipped(step)
        if tipped is not None:
            return tipped
        kind = self._poured_kind(step.before, step.change_mg, settled=True)
        if kind is not None:
            self._show_pouring(kind, step.change_mg)
        findings = [] if kind is None else self._begin(kind, step.before, _seen(step.after))
        addition = self._tally.open
        if addition is not None and addition.kind is WeighingKind.WAX:
            addition.went(step, self._progress.expected(addition.kind).target_mg)
        return findings

    def _show_pouring(self, kind: WeighingKind, change_mg: int) -> None:
        """Take note that this scale shows how something is poured, if it was more than a drop."""
        if change_mg * 5 > self._progress.expected(kind).target_mg:
            self.pan.pours_seen = True
            self.pan.fills_seen = self.pan.fills_seen or kind is WeighingKind.FILL

    def _to_zero(self, step: Step) -> list[Finding]:
        """Tared, or relieved of its load; from below zero, zeroed or loaded again."""
        self._touched = None
        before = step.before.value_mg
        if before < 0:
            return self._up_to_zero(step)
        findings: list[Finding] = []
        if self._progress.stage is not Stage.WAX:
            findings = self._tally.settle(step.before)
        full = self.pan.load in {Load.VESSEL, Load.BEAKER}
        swapped = full or self._progress.stage >= Stage.BLEND
        contents = self._contents_mg(before)
        if self.pan.load is Load.PITCHER:
            self._left = step.before
        tared = self.pan.zero_from(before, contents, swapped=swapped)
        addition = self._tally.open
        drawing = self._tally.drawing
        if drawing is not None and self.pan.load is Load.UNKNOWN and not tared:
            tared = True  # or lifted to be put back: either way this much is in it
        if drawing is not None:
            self._rest_wax(drawing, step.before)
        filling = addition is not None and addition.kind is WeighingKind.FILL
        maybe = addition is not None and addition.kind is WeighingKind.WAX
        if tared and not filling:
            self._tally.shift(-before)
            if drawing is not None:
                drawing.tared = True
        elif maybe and self.pan.load is Load.UNKNOWN and self._progress.stage is Stage.FRAGRANCE:
            self._tally.lay_aside_or_tare(before)
        else:
            self._tally.lay_aside()
        self._turn_to_next_pitcher()
        return findings

    def _rest_wax(self, drawing: Addition, plateau: Plateau) -> None:
        """Keep in mind what was drawn at a tare: the rest of the wax, or fragrance, may follow."""
        wax = self._progress.expected(WeighingKind.WAX)
        if drawing.drawn(plateau, wax):
            drawing.known_mg, drawing.rested = drawing.net_mg(plateau.value_mg), plateau

    def _up_to_zero(self, step: Step) -> list[Finding]:
        findings = self._tally.leave(step.before)
        before = step.before.value_mg
        if self.pan.zero_again(before):
            self._tally.shift(-before)
        elif self._tally.open is not None:
            self._tally.lay_aside()
        return findings

    def _lowered(self, step: Step) -> list[Finding]:
        drop = -step.change_mg
        if self.pan.take_off_tared(drop):
            findings = self._tally.leave(step.before)
            self._tally.lay_aside()
            self._left = step.before
            self._turn_to_next_pitcher()
            return findings
        if self._let_go(step.after.value_mg):
            return []
        scented = self._scented_at_once(step)
        if scented is not None:
            return scented
        contents = self._contents_mg(step.before.value_mg)
        if drop < LEAST_CONTAINER_MG or drop * 2 < contents:
            if step.abrupt and drop >= LEAST_CONTAINER_MG:  # a probe, a hand taken away
                self._tally.shift(-drop)
            return []  # otherwise some was taken out again: what is left is weighed at rest
        return self._taken_off(step, drop, contents)

    def _scented_at_once(self, step: Step) -> list[Finding] | None:
        """Take what looked like a container on a bare pan for fragrance at once in the pitcher.

        Where the pitcher was tared or lifted unseen, what leaves tells: all of it, or a beaker.
        """
        pan, away, before = self.pan, self.pan.pitcher_away, step.before.value_mg
        if pan.load is not Load.VESSEL or away is None or self._touched is None:
            return None
        if not same_mass(-step.change_mg, away.mass_mg + before):
            return None
        start, plateau = self._touched.before, step.before
        if self._progress.stage is not Stage.FRAGRANCE:
            return None
        pan.certain(Load.PITCHER, before - away.contents_mg - before)
        findings = self._begin(WeighingKind.FRAGRANCE, start, _seen(plateau))
        findings += self._tally.settle(plateau)
        return [*findings, *self._taken_off(step, -step.change_mg, away.contents_mg + before)]

    def _taken_off(self, step: Step, drop_mg: int, contents_mg: int) -> list[Finding]:
        findings = self._tally.leave(step.before)
        pan, left = self.pan, step.after.value_mg
        container = pan.container_mg if pan.load is Load.VESSEL else None
        next_mg = left if container is not None and same_mass(left, container) else 0
        if pan.load is Load.PITCHER:
            self._left = step.before
            if pan.own_mg is not None:
                next_mg = pan.own_mg + contents_mg - drop_mg
        self._touched = None
        pan.take_off(drop_mg + (next_mg if container is None else 0), contents_mg)
        self._tally.lay_aside()
        if next_mg >= LEAST_CONTAINER_MG:
            pan.put_on(Load.VESSEL, left, next_mg)  # swapped: the next one stands there
        self._turn_to_next_pitcher()
        return findings

    def _let_go(self, display_mg: int) -> bool:
        """Take back what a hand on the scale looked like, once the display is where it was."""
        touched = self._touched
        if touched is None or abs(touched.before.value_mg - display_mg) > self._settler.band_mg:
            return False
        if touched.pan.load not in {Load.PITCHER, Load.VESSEL, Load.BEAKER}:
            return False
        self._touched = None
        self.pan.become(touched.pan)
        self._tally.open = touched.addition
        return True

    def _put_on(self, step: Step) -> list[Finding]:
        self._touched = None
        tipped = self._tipped(step)
        if tipped is not None:
            return tipped
        findings, put_mg = self._swapped(step)
        back = self.pan.put_back(put_mg)
        if back is not None:
            self.pan.certain(back.load, step.after.value_mg - back.contents_mg)
            self._tally.take_up(step.after.value_mg)
            return findings
        lost = self._fills_lost(step)
        if lost:
            return self._lose(lost, step)
        kind = jump_kind(self._outlook(step.before), self.pan, step.change_mg)
        if kind is not None:
            return self._jump_in(kind, step)
        self._touched = self._as_it_stands(step.before)
        self._laid_on(step)
        return []

    def _swapped(self, step: Step) -> tuple[list[Finding], int]:
        """Return what was put on, and what is accepted where something left for it unseen.

        A quick hand lifts the beaker and sets down the pitcher before the scale has settled.
        """
        pan, away, put_mg = self.pan, self.pan.pitcher_away, step.change_mg
        other = pan.load is Load.BEAKER and pan.own_mg is not None
        if not other or pan.own_mg is None or away is None:
            return [], put_mg
        contents = self._contents_mg(step.before.value_mg)
        if not same_mass(put_mg + pan.own_mg + contents, away.mass_mg):
            return [], put_mg
        findings = self._tally.leave(step.before)
        put_mg += pan.own_mg + contents
        pan.take_off(pan.own_mg + contents, contents)
        self._tally.aside = self._tally.open = None
        return findings, put_mg

    def _as_it_stands(self, plateau: Plateau) -> Touched:
        return Touched(plateau, copy(self.pan), copy(self._tally.open))

    def _laid_on(self, step: Step) -> None:
        """Take a thing for a container, or for something laid on the pitcher that stands there."""
        if self.pan.load is Load.PITCHER and not self.pan.maybe_gone_unseen:
            self._tally.shift(step.change_mg)
        elif step.change_mg >= LEAST_CONTAINER_MG:
            again = self._progress.stage is Stage.POUR and self.pan.is_pitcher(step.change_mg)
            if again and self._progress.more_pitchers:
                self._next_pitcher()
            container = Load.PITCHER if self._progress.stage is Stage.WAX else Load.VESSEL
            self.pan.put_on(container, step.after.value_mg, step.change_mg)
            self._tally.open = None

    def _jump_in(self, kind: WeighingKind, step: Step) -> list[Finding]:
        outlook = self._outlook(step.before)
        away = drawn_away(outlook, self.pan, step.change_mg)
        empty_mg = self.pan.empty_away_mg or 0
        touched = self._as_it_stands(step.before)
        laid = kind is WeighingKind.FRAGRANCE and self.pan.pours_seen
        findings = self._begin(
            kind, step.before, _seen(step.after), sure=kind is WeighingKind.FILL, laid=laid
        )
        if laid:
            self._touched = touched
        addition = self._tally.open
        if away and addition is not None:
            addition.base_mg += empty_mg
            addition.came_at_once(step.after.from_us - SWING_US)
            self.pan.certain(Load.PITCHER, addition.base_mg)
        return findings

    def _moving(self, motion: Motion) -> list[Finding]:
        """Tell early that something is being poured, while it can still be stopped."""
        if motion.abrupt and motion.change_mg < 0:
            return self._leaving(motion)
        if motion.abrupt or motion.lasted_us < SURE_MOTION_US or motion.change_mg <= 0:
            return []
        seen = Seen(motion.at_us, motion.index)
        if self._may_tip(motion.change_mg):
            return self._tip(motion)
        kind = self._poured_kind(motion.before, motion.change_mg, settled=False)
        if kind is None:
            return []
        least = SURE_RISE_MG
        if kind is WeighingKind.FRAGRANCE:
            least = self._progress.expected(kind).target_mg // SURE_FRAGRANCE_DIVISOR
        return self._begin(kind, motion.before, seen) if motion.change_mg >= least else []

    def _leaving(self, motion: Motion) -> list[Finding]:
        """Accept what is in a container as soon as it leaves."""
        if self._tally.drawing is not None and abs(motion.value_mg) <= ZERO_MG:
            return []  # tared: the rest of the wax may follow
        contents = self._contents_mg(motion.before.value_mg)
        least = max(LEAST_CONTAINER_MG, contents // 2)
        leaves = -motion.change_mg >= least and motion.lasted_us >= SURE_LEAVING_US
        return self._tally.leave(motion.before) if leaves and self._touched is None else []

    # ------------------------------------------------------------ fragrance weighed apart

    def _may_tip(self, change_mg: int) -> bool:
        """Tell whether a rise may be the fragrance that was weighed in a beaker before."""
        unseen = self.pan.load is Load.UNKNOWN and self.pan.pitcher_away is None
        here = self.pan.load is Load.PITCHER or unseen
        return here and 0 < change_mg <= self.pan.apart_mg * TIPPED_PPM[1] // 1_000_000

    def _tip(self, motion: Motion) -> list[Finding]:
        drip_mg = self.pan.apart_mg // SURE_FRAGRANCE_DIVISOR
        if self._tipping is not None or motion.change_mg < drip_mg:
            return []
        self._tipping = motion.before
        return [Tipped(self._progress.pitcher, motion.before.to_us, None)]

    def _tipped(self, step: Step) -> list[Finding] | None:
        """Take note of fragrance that has come out of its beaker; None where it is another rise."""
        start = self._tipping or step.before
        rise_mg = step.after.value_mg - start.value_mg
        least_mg = self.pan.apart_mg * TIPPED_PPM[0] // 1_000_000
        if not self._may_tip(rise_mg):
            self._tipping = None
            return None
        if rise_mg < least_mg:
            return [] if not step.abrupt else None
        self.pan.apart_mg, self._tipping = 0, None
        self._tally.lay_aside()
        return [Tipped(self._progress.pitcher, start.to_us, step.after.steady_us)]

    # ------------------------------------------------------------ fills by what the pitcher lost

    def _fills_lost(self, step: Step) -> int:
        """Return how many fills the pitcher lost that was lifted and is back; 0 where it is not."""
        pan, away = self.pan, self.pan.pitcher_away
        gone = pan.load in {Load.NOTHING, Load.UNKNOWN}
        if away is None or not gone or self._left is None or pan.vessels_filled:
            return 0
        if self._progress.wax_mg is None:
            return 0
        pitcher = Away(away, pan.pitcher_mg, self._progress.vessels_left, pan.losses_seen)
        return fills_lost(pitcher, step.change_mg, self._progress.expected(WeighingKind.FILL))

    def _lose(self, fills: int, step: Step) -> list[Finding]:
        """Begin fills beside the scale that the pitcher, back on it, has lost."""
        away, start = self.pan.pitcher_away, self._left
        if away is None or start is None:
            return []
        self._loss = None if self.pan.losses_seen else Loss(away, self._progress.filled, fills)
        lost_mg = away.mass_mg - step.change_mg
        self._progress.stage = Stage.POUR
        base = step.after.value_mg + lost_mg
        vessel = self._progress.filled + 1
        addition = Addition(WeighingKind.FILL, base, start, vessel, lost=fills)
        self._tally.open, self._tally.aside = addition, None
        self.pan.certain(Load.PITCHER, step.after.value_mg - max(0, away.contents_mg - lost_mg))
        return [self._tally.announce(addition, _seen(step.after))]

    def _find_again(self) -> None:
        """Take back the one loss that there was, now that a vessel is filled on this scale."""
        loss, self._loss = self._loss, None
        if loss is None:
            return
        self._progress.take_back(range(loss.filled + 1, loss.filled + loss.fills + 1))
        self.pan.losses_seen, self.pan.pitcher_away = False, loss.away

    # ------------------------------------------------------------ additions

    def _outlook(self, before: Plateau) -> Outlook:
        """Return what can come next as the scale leaves a plateau."""
        drawing, wax = self._tally.drawing, self._progress.expected(WeighingKind.WAX)
        net = drawing.net_mg(before.value_mg) if drawing is not None else 0
        return self._progress.outlook(net if net >= wax.target_mg - wax.tolerance_mg else None)

    def _poured_kind(
        self, before: Plateau, change_mg: int, *, settled: bool
    ) -> WeighingKind | None:
        outlook, addition = self._outlook(before), self._tally.open
        if addition is not None and addition.lost:
            first = self._loss is not None and change_mg >= SURE_RISE_MG
            return WeighingKind.FILL if first else None
        if addition is None or self.pan.load is Load.NOTHING:
            return poured_kind(outlook, self.pan, before.value_mg, change_mg, settled=settled)
        if addition.accepted_mg is None and self._mistaken(addition, outlook, change_mg):
            return WeighingKind.FILL
        same_stage = addition.accepted_mg is None and outlook.stage is self._progress.stage
        if same_stage or (self.pan.load is Load.BEAKER and addition.apart):
            return addition.kind
        if addition.kind is WeighingKind.WAX and outlook.stage <= Stage.FRAGRANCE:
            enough = outlook.wax.target_mg - outlook.wax.tolerance_mg
            soon_us = SOON_COARSE_US if addition.coarse else SOON_US
            soon = before.to_us - addition.gone_us < soon_us
            if soon or (outlook.wax_mg or 0) < enough:
                self._tally.leave_open(before, self._settler.band_mg)
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

    def _begin(
        self,
        kind: WeighingKind,
        before: Plateau,
        seen: Seen,
        *,
        sure: bool = True,
        laid: bool = False,
    ) -> list[Finding]:
        """Open an addition; `sure` says that it is poured, so a container must stand there."""
        self._touched = None
        addition = self._tally.open
        if addition is not None and addition.kind is kind:
            addition.laid = laid
            return []
        findings = self._tally.settle(before)
        if kind is WeighingKind.FILL and addition is not None and addition.accepted_mg is None:
            findings.append(Mistaken(addition.kind, self._progress.pitcher))
        drawn = kind is WeighingKind.WAX and self.pan.load is not Load.PITCHER
        if drawn and self._progress.stage is Stage.POUR and self._progress.more_pitchers:
            self._next_pitcher()
        if kind is WeighingKind.FILL:
            self._progress.stage = Stage.POUR
            self._find_again()
        vessel = self._progress.filled + 1 if kind is WeighingKind.FILL else None
        had_mg = self._progress.already_mg(kind)
        apart = kind is WeighingKind.FRAGRANCE and self.pan.vessel_here
        follows = self._just_drawn(addition, before) if kind is WeighingKind.FRAGRANCE else None
        addition = Addition(
            kind, before.value_mg - had_mg, before, vessel, had_mg=had_mg, apart=apart, laid=laid
        )
        addition.announced = not laid
        addition.follows = follows
        addition.coarse = self._progress.division_mg >= COARSE_MG
        self._tally.open = addition
        self._stands_there(addition, sure=sure)
        return findings if laid else [*findings, self._tally.announce(addition, seen)]

    @staticmethod
    def _just_drawn(addition: Addition | None, before: Plateau) -> Addition | None:
        wax = addition is not None and addition.kind is WeighingKind.WAX
        if not wax or addition is None or before.to_us - addition.gone_us > LADLE_US:
            return None
        return addition

    def _stands_there(self, addition: Addition, *, sure: bool) -> None:
        """Conclude from what is poured what it is poured into."""
        load = Load.VESSEL if addition.kind is WeighingKind.FILL else Load.PITCHER
        if addition.apart:
            self.pan.vessel_mg, load = None, Load.BEAKER
        if sure and (self.pan.load is not load or load is not Load.PITCHER):
            self.pan.certain(load, addition.start.value_mg)

    def _contents_mg(self, display_mg: int) -> int:
        """Return what the container on the pan holds; 0 where that is not known."""
        if self.pan.load is Load.PITCHER and self._progress.wax_mg is not None:
            return self._progress.left_mg
        if self.pan.container_mg is not None:
            return max(0, display_mg - self.pan.container_mg)
        addition = self._tally.open
        return max(0, addition.net_mg(display_mg)) if addition is not None else 0

    def _turn_to_next_pitcher(self) -> None:
        if self._progress.pitcher_done:
            self._next_pitcher()

    def _next_pitcher(self) -> None:
        self._progress.next_pitcher()
        self._tally.open = None
        self.pan.pitcher_away, self.pan.apart_mg = None, 0


def _seen(plateau: Plateau) -> Seen:
    return Seen(plateau.to_us, plateau.last)
