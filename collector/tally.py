"""What is being poured now, and when it counts as a weighing."""

from collections import Counter
from copy import copy

import msgspec

from collector.additions import SCENTED_US, Addition
from collector.events import Evidence, WeighingKind
from collector.expectations import Expectation, Stage
from collector.findings import Begun, Finding, Mistaken, Weighed
from collector.pan import Load, Pan
from collector.progress import Progress
from collector.recipes import PPM
from collector.weighings import BAND_MG, Plateau

SCENT_PPM = (650_000, 1_450_000)
"""What comes right after the last ladle is fragrance if it is about as much, and wax if not."""

LATER_US = 10_000_000
"""This long after the last ladle nobody draws more wax, if it may be the fragrance."""

FRESH_US = 15_000_000
"""For so long after a weighing even a small change is the end of what was poured."""

LAST_REST_US = 1_200_000
"""For so long the last drops must have rested when the container leaves."""

TRIFLE_MG = 150
"""A change by less is the scale's own tremble: a division and a half of a fine one."""


class Seen(msgspec.Struct, frozen=True):
    """The reading that made something sure: its time and its number."""

    at_us: int
    index: int


class Tally:
    """The addition on the scale (`open`) and the one in the load that was lifted off (`aside`)."""

    def __init__(self, progress: Progress, pan: Pan, channel: str) -> None:
        self._progress = progress
        self._pan = pan
        self._channel = channel
        self._revisions: Counter[tuple[WeighingKind, int, int | None]] = Counter()
        self.open: Addition | None = None
        self.aside: Addition | None = None

    @property
    def drawing(self) -> Addition | None:
        """Wax that is still being drawn: nothing was accepted so far."""
        addition = self.open
        wax = addition is not None and addition.kind is WeighingKind.WAX
        return addition if wax and addition is not None and addition.accepted_mg is None else None

    def lay_aside(self) -> None:
        """Take note that the load was lifted off, or may have been."""
        addition = self.open
        self.aside = addition if addition is not None and not addition.apart else None
        self.open = None

    def lay_aside_or_tare(self, by_mg: int) -> None:
        """Take note that the load was either lifted off or tared; the next move tells."""
        self.aside = copy(self.open)
        self.shift(-by_mg)

    def take_up(self, display_mg: int) -> None:
        """Take note that the load is back, and that the display shows so much."""
        self.open, self.aside = self.aside, None
        if self.open is not None and self.open.accepted_mg is not None and not self.open.lost:
            self.open.base_mg = display_mg - self.open.accepted_mg

    def leave_open(self, before: Plateau, band_mg: int) -> None:
        """Take note that more comes on top of wax that has rested; which it is the mass tells."""
        wax = self.open
        if wax is None or wax.known_mg is None:
            return
        if abs(wax.net_mg(before.value_mg) - wax.known_mg) <= band_mg:
            wax.rise = before

    def shift(self, by_mg: int) -> None:
        """Take note that the display changed by so much while nothing was poured."""
        if self.open is not None:
            self.open.base_mg += by_mg

    # ------------------------------------------------------------ acceptance

    def settle(self, plateau: Plateau) -> list[Finding]:
        """Accept what is open as it last rested: its container leaves, or the next thing comes."""
        addition = self.open
        if addition is None or self._as_known(addition, plateau):
            return []
        expected = self._progress.expected(addition.kind)
        if not addition.counts(plateau, expected):
            return []
        return self._accept(addition, plateau, expected)

    def _as_known(self, addition: Addition, plateau: Plateau) -> bool:
        """Tell whether what last rested is what was accepted before, or only a moment's rest."""
        known = addition.accepted_mg
        if known is None:
            return False
        changed = abs(addition.net_mg(plateau.value_mg) - known)
        brief = plateau.rested_us() < LAST_REST_US
        return brief or changed <= self._trifle_mg(addition, plateau, BAND_MG)

    def leave(self, plateau: Plateau) -> list[Finding]:
        """Accept what is open as its container leaves; wax only where it may be all of it."""
        drawing = self.drawing
        if drawing is not None:
            expected = self._progress.expected(WeighingKind.WAX)
            if not drawing.drawn(plateau, expected):
                return []
        return self.settle(plateau)

    def rest(self, plateau: Plateau, band_mg: int) -> list[Finding]:
        """Accept what is open once the scale has rested for as long as that takes."""
        addition = self.open
        if addition is None or self._pan.load is Load.NOTHING:
            return []
        known, net = addition.accepted_mg, addition.net_mg(plateau.value_mg)
        if known is not None and abs(net - known) <= self._trifle_mg(addition, plateau, band_mg):
            return []
        scented = self._scented_after_all(addition, net)
        if scented is not None:
            return self._rest_scented(addition, scented, plateau)
        wax = self._more_wax(addition, net)
        if wax is not None:
            return self._rest_wax(wax, plateau)
        expected = self._progress.expected(addition.kind)
        if not addition.is_final(plateau, expected):
            return []
        return self._accept(addition, plateau, expected)

    def _more_wax(self, addition: Addition, net_mg: int) -> Addition | None:
        """Return the wax that what seemed to be a little fragrance goes on with, if it does."""
        wax = addition.follows
        if wax is None or addition.accepted_mg is not None or wax.accepted_mg is None:
            return None
        outlook = self._progress.outlook(wax.accepted_mg)
        little = net_mg * PPM < outlook.fragrance.target_mg * SCENT_PPM[0]
        return wax if little else None

    def _rest_wax(self, wax: Addition, plateau: Plateau) -> list[Finding]:
        """Take back fragrance that is the last of the wax: it came too soon after the ladle."""
        if plateau.rested_us() < SCENTED_US:
            return []
        self.open = wax
        expected = self._progress.expected(WeighingKind.WAX)
        taken_back = Mistaken(WeighingKind.FRAGRANCE, self._progress.pitcher)
        return [taken_back, *self._accept(wax, plateau, expected)]

    def _trifle_mg(self, addition: Addition, plateau: Plateau, band_mg: int) -> int:
        """Return what a mass may change by before it is another one.

        The last drops are slow; what changes later is the scale, which drifts.
        """
        if addition.rested is None or self._pan.load is Load.UNKNOWN:
            return band_mg
        fresh = plateau.to_us - addition.rested.to_us <= FRESH_US
        return max(TRIFLE_MG, self._progress.division_mg // 2) if fresh else band_mg

    def _rest_scented(self, wax: Addition, scented: Addition, plateau: Plateau) -> list[Finding]:
        expected = self._progress.outlook(wax.known_mg).fragrance
        if not scented.is_final(plateau, expected):
            return []
        findings: list[Finding] = []
        if wax.accepted_mg is None and wax.rested is not None:
            wanted = self._progress.expected(WeighingKind.WAX)
            findings += self._accept(wax, wax.rested, wanted, wax.known_mg)
        self.open = scented
        return findings + self._accept(scented, plateau, expected)

    def _scented_after_all(self, wax: Addition, net_mg: int) -> Addition | None:
        """Return the fragrance that what came on top of too little wax is; None where it is wax.

        Wax that is short may be topped up, or taken as it is: the mass tells.
        """
        known_mg, rested = wax.known_mg, wax.rested
        if wax.kind is not WeighingKind.WAX or known_mg is None or rested is None:
            return None
        if self._progress.stage > Stage.FRAGRANCE:
            return None
        if net_mg <= known_mg or not self._seems_scented(wax, known_mg, net_mg):
            return None
        start = wax.rise or rested
        scented = Addition(WeighingKind.FRAGRANCE, wax.base_mg + known_mg, start, None)
        scented.coarse = wax.coarse
        scented.announced = False
        return scented

    def _seems_scented(self, drawn: Addition, known_mg: int, net_mg: int) -> bool:
        outlook, rise_mg = self._progress.outlook(known_mg), net_mg - known_mg
        wax, fragrance = outlook.wax, outlook.fragrance
        late = drawn.rise is not None and drawn.rise.to_us - drawn.gone_us > LATER_US
        if late or wax.met_by(known_mg) or known_mg > wax.target_mg:
            return fragrance.near(rise_mg, *SCENT_PPM)
        if net_mg > wax.target_mg + wax.tolerance_mg:
            return True
        missing = Expectation(wax.target_mg - known_mg, 0)
        return fragrance.miss(rise_mg) < missing.miss(rise_mg)

    def _accept(
        self,
        addition: Addition,
        plateau: Plateau,
        expected: Expectation,
        net_mg: int | None = None,
    ) -> list[Finding]:
        net = addition.net_mg(plateau.value_mg) if net_mg is None else net_mg
        had_mg = addition.had_mg if addition.accepted_mg is None else addition.accepted_mg
        addition.accepted_mg = addition.known_mg = net
        addition.rested, addition.laid = plateau, False
        self._note_where(addition, net - had_mg)
        findings: list[Finding] = []
        if not addition.announced:
            addition.announced = True
            findings.append(self.announce(addition, Seen(plateau.to_us, plateau.last)))
        fills = max(1, addition.lost)
        findings += (
            self._weighed(addition, number, net // fills, plateau, expected)
            for number in range(fills)
        )
        return findings

    def announce(self, addition: Addition, seen: Seen) -> Begun:
        """Return the finding that an addition began, as the readings up to `seen` show."""
        start = addition.start
        count = seen.index - start.first + 1
        return Begun(
            kind=addition.kind,
            pitcher=self._progress.pitcher,
            vessel=addition.vessel,
            at_us=start.to_us,
            apart=addition.apart,
            evidence=Evidence(self._channel, start.from_us, seen.at_us, count),
        )

    def _note_where(self, addition: Addition, gained_mg: int) -> None:
        """Take note of what an accepted addition says about the vessels and the pitcher."""
        pan = self._pan
        if addition.kind is not WeighingKind.FILL:
            if addition.apart:
                pan.apart_mg += gained_mg
            elif pan.load is Load.UNKNOWN:
                pan.certain(Load.PITCHER, addition.base_mg)
        elif addition.lost:
            pan.losses_seen = True
        else:
            pan.vessels_filled = True
            pan.poured_from(gained_mg)

    def _weighed(
        self,
        addition: Addition,
        number: int,
        mass_mg: int,
        plateau: Plateau,
        expected: Expectation,
    ) -> Weighed:
        vessel = addition.vessel + number if addition.vessel is not None else None
        key = (addition.kind, self._progress.pitcher, vessel)
        self._revisions[key] += 1
        self._progress.weighed(addition.kind, mass_mg, vessel)
        return Weighed(
            kind=addition.kind,
            pitcher=self._progress.pitcher,
            vessel=vessel,
            mass_mg=mass_mg,
            expected=expected,
            began_us=addition.start.to_us,
            settled_us=plateau.steady_us,
            evidence=addition.evidence(self._channel, plateau),
            revision=self._revisions[key] - 1,
            apart=addition.apart,
        )
