"""Filling the vessels of one pitcher: each on the scale, or by what the pitcher loses."""

from simulators.diary import Moment
from simulators.faults import FaultKind
from simulators.hands import FINE_G, Motion
from simulators.interludes import interlude
from simulators.layout import SCALE
from simulators.physics.pitcher import HAND, PAN
from simulators.pitcher_job import PitcherJob
from simulators.shift import OpenLot, Shift

VESSEL_SPREAD_G = 3.0
FILL_SPREAD_G = 0.8
SPILL_G = 0.05
CAREFUL_SWAP_S = (2.6, 4.6)  # a vessel of hot wax is carried to its tray
QUICK_SWAP_S = (0.3, 0.9)  # the next one is in the other hand
LOOKS_S = (2.0, 6.0)
SECOND_GO_S = (0.7, 1.5)
LEAST_SHARE = 0.4
"""With less than this share of a fill left in the pitcher she does not begin another vessel."""

GREY_SHARE = 0.9
"""Wax that is short by more of the tolerance than this makes a clearly light vessel."""

LEAST_ABOVE_K = 0.4
"""Good practice ends the pour at least this much above the window's lower edge."""

PHASE = "pour"


class Filling:
    """Fills vessels of one lot, pitcher by pitcher.

    `filled` counts the vessels really filled: that is how the service numbers them.
    """

    def __init__(self, shift: Shift, lot: OpenLot) -> None:
        self._shift = shift
        self._hands = shift.hands
        self._bench = shift.bench
        self._lot = lot
        self._habits = lot.plan.habits
        self._position = 0
        self.filled = 0

    def fill(self, job: PitcherJob) -> Motion:
        """Fill the pitcher's vessels from it."""
        if self._habits.fills_by_loss:
            yield from self._stand_on_scale(job)
        else:
            yield from self._lift(job)
        for number in range(job.share.vessels):
            self._position += 1
            if self._forgets(job):
                continue
            if number:
                yield from self._dawdle(job, number)
            self._demand_warm(job)
            self._demand_scale(job)
            yield from (
                self._fill_by_loss(job) if self._habits.fills_by_loss else self._fill_one(job)
            )

    def _lift(self, job: PitcherJob) -> Motion:
        job.pitcher.stand = HAND
        yield from self._hands.about(1.5, 2.5)
        if not self._habits.tares_vessels:
            yield from self._hands.zero()

    def _forgets(self, job: PitcherJob) -> bool:
        """Tell whether this vessel is left out: forgotten, or there is no wax left for it."""
        number = f"vessel {self._position} of {self._lot.plan.vessels}"
        if self._lot.plan.vessel_fault(FaultKind.VESSEL_SKIPPED, self._position):
            job.plant(FaultKind.VESSEL_SKIPPED, f"{number} is forgotten")
            return True
        if job.pitcher.pourable_g < LEAST_SHARE * job.card.fill_g:
            job.plant(FaultKind.VESSEL_SKIPPED, f"no wax is left for {number}")
            return True
        return False

    def _dawdle(self, job: PitcherJob, number: int) -> Motion:
        """Stay away in the middle of the pour until the wax is too cool, where that is planted."""
        long = job.fault(FaultKind.POUR_TOO_LONG)
        if long is None or number != (job.share.vessels + 1) // 2:
            return
        yield from job.wait_for(job.card.pour.low - long.kelvin)
        job.plant(long.kind, f"the pour goes on at {job.now_degc():.1f} °C")

    def _demand_warm(self, job: PitcherJob) -> None:
        """Demand that the wax is not too cool for another vessel, unless that is planted."""
        late = job.fault(FaultKind.POUR_TOO_LONG) or job.fault(FaultKind.POUR_TOO_COLD)
        shown = self._bench.thermometer_degc
        warm = shown is None or shown >= job.card.pour.low + LEAST_ABOVE_K
        job.demand(warm or late is not None, "The pour window is too narrow for so many vessels")

    def _demand_scale(self, job: PitcherJob) -> None:
        """Demand that the scale speaks: what is filled while it does not, nobody can weigh."""
        mute = SCALE in self._bench.silent | self._bench.unplugged
        job.demand(not mute, "The scale is silent when a vessel is to be filled")

    # ------------------------------------------------------------ on the scale

    def _fill_one(self, job: PitcherJob) -> Motion:
        spread = self._hands.chance.uniform(-VESSEL_SPREAD_G, VESSEL_SPREAD_G)
        yield from self._hands.put_vessel(self._lot.plan.vessel_g + spread)
        base_g = 0.0
        if self._habits.tares_vessels:
            yield from self._hands.tare()
        else:
            yield from self._hands.about(2.2, 3.2)
            base_g = self._bench.pan.display.grams
        self.filled += 1
        aim_g = self._aim(job)
        empty_g = self._bench.vessel_g or 0.0
        yield from self._stream(job, self._by_display(aim_g, base_g))
        yield from self._hands.about(2.2, 3.6)
        self._note(job, (self._bench.vessel_g or 0.0) - empty_g)
        yield from self._look_at_it()
        yield from self._hands.take_vessel()
        away_s = QUICK_SWAP_S if self._habits.swaps_quickly else CAREFUL_SWAP_S
        yield from self._hands.about(*away_s)
        yield from interlude(self._hands, self._habits.strays / 4)

    def _by_display(self, aim_g: float, base_g: float) -> float:
        """Return what she pours to see `aim_g`: a coarse scale is watched, a fine one trusted."""
        if self._bench.pan.resolution_g <= FINE_G:
            return aim_g
        return self._hands.missing(aim_g, base_g)

    def _stream(self, job: PitcherJob, grams: float) -> Motion:
        """Pour the fill, in one go or two."""
        job.work(PHASE)
        self._shift.diary.show(Moment.POUR, self._bench.time_s, job.number)
        seconds = self._hands.chance.uniform(5.0, 9.0)
        if self._happens(self._habits.two_goes):
            first = self._hands.chance.uniform(0.55, 0.9)
            yield from self._hands.stream(grams * first, seconds * first, self._bench.fill_vessel)
            yield from self._hands.about(*SECOND_GO_S)
            grams, seconds = grams * (1.0 - first), max(2.0, seconds * (1.0 - first))
        yield from self._hands.stream(grams, seconds, self._bench.fill_vessel)

    def _look_at_it(self) -> Motion:
        """Take the filled vessel off, look at it and put it back for a moment."""
        if not self._happens(self._habits.puts_back):
            return
        grams = self._bench.vessel_g or 0.0
        yield from self._hands.take_vessel()
        yield from self._hands.about(*LOOKS_S)
        yield from self._hands.put_vessel(grams)
        yield from self._hands.about(2.0, 4.0)

    # ------------------------------------------------------------ by what the pitcher loses

    def _stand_on_scale(self, job: PitcherJob) -> Motion:
        if job.pitcher.stand is not PAN:
            yield from self._hands.zero()
        yield from job.put(PAN)
        yield from self._hands.base(tares=self._habits.tares_loss)

    def _fill_by_loss(self, job: PitcherJob) -> Motion:
        self.filled += 1
        aim_g = self._aim(job)
        yield from self._hands.about(0.5, 1.5)
        job.work(PHASE)
        yield from self._hands.lift_pitcher(job.pitcher)
        yield from self._hands.about(1.0, 2.5)
        before_g = job.pitcher.contents_g
        seconds = self._hands.chance.uniform(5.0, 9.0)
        yield from self._hands.stream(aim_g, seconds, self._bench.pour_away)
        yield from self._hands.about(0.8, 2.0)
        yield from job.put(PAN)
        self._shift.diary.show_at_rest(Moment.POUR, job.number)
        yield from self._hands.about(2.2, 4.0)
        self._note(job, before_g - job.pitcher.contents_g)

    # ------------------------------------------------------------ in common

    def _happens(self, share: float) -> bool:
        return share > 0.0 and self._hands.chance.random() < share

    def _aim(self, job: PitcherJob) -> float:
        """Return what she means to pour, slip and planted error included.

        Where the last of the wax is about to make a doubtful vessel, it makes a clearly light one.
        """
        card = job.card
        aim_g = card.fill_g + self._planned_error_g() + self._slip_g()
        tolerance_g = card.fill_tolerance_g
        clearly_light_g = card.fill_g - 2.0 * tolerance_g
        if clearly_light_g < job.pitcher.pourable_g < card.fill_g - GREY_SHARE * tolerance_g:
            return clearly_light_g
        return aim_g

    def _slip_g(self) -> float:
        slip = self._hands.chance.gauss(0.0, FILL_SPREAD_G / 2)
        return max(-FILL_SPREAD_G, min(FILL_SPREAD_G, slip))

    def _planned_error_g(self) -> float:
        light = self._lot.plan.vessel_fault(FaultKind.VESSEL_LIGHT, self._position)
        heavy = self._lot.plan.vessel_fault(FaultKind.VESSEL_HEAVY, self._position)
        return (heavy.grams if heavy else 0.0) - (light.grams if light else 0.0)

    def _note(self, job: PitcherJob, poured_g: float) -> None:
        """Plant what is really off: meant so, or because the pitcher ran out."""
        card = self._lot.plan.recipe
        job.work(PHASE)
        job.weigh("fill", poured_g, self.filled)
        self._shift.say(f"vessel {self.filled}: {poured_g:.1f} g")
        error_g = poured_g - card.fill_g
        excess_g = abs(error_g) - card.fill_tolerance_g
        clear = excess_g <= 0.0 or excess_g >= self._bench.pan.resolution_g
        job.demand(clear, "A vessel is off by what the scale hardly shows")
        if excess_g <= 0.0:
            return
        kind = FaultKind.VESSEL_LIGHT if error_g < 0 else FaultKind.VESSEL_HEAVY
        why = "; the pitcher ran out" if job.pitcher.pourable_g < SPILL_G else ""
        what = f"vessel {self.filled} gets {poured_g:.1f} g of {card.fill_g:.0f} g{why}"
        self._shift.plant(self._lot, kind, what, self.filled, job.number)
