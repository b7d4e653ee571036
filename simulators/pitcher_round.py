"""One pitcher of a lot, from the pot to the pour window: draw, add fragrance, stir, cool."""

from simulators.drawing import Drawing
from simulators.faults import COOLING, FaultKind
from simulators.hands import Motion
from simulators.mishaps import start_mishaps
from simulators.physics.pitcher import PAN
from simulators.pitcher_job import PitcherJob
from simulators.scenting import MARGIN_K, Scenting
from simulators.service import PitcherShare
from simulators.shift import OpenLot, Shift

PHASE = "stir"


class PitcherRound:
    """The maker's work with one pitcher of one lot, up to where it is ready to pour."""

    def __init__(self, shift: Shift, lot: OpenLot, share: PitcherShare) -> None:
        self.job = PitcherJob(shift, lot, share)
        self._hands = shift.hands
        self._drawing = Drawing(self.job)
        self._scenting = Scenting(self.job)

    def prepare(self) -> Motion:
        """Go through the phases before the pour, one after the other."""
        yield from self._drawing.draw()
        yield from self._scenting.add()
        yield from self._stir()
        yield from self._cool()

    def _stir(self) -> Motion:
        job = self.job
        skipped = job.fault(FaultKind.STIR_SKIPPED)
        if skipped:
            job.plant(skipped.kind, "the stir is skipped")
            return
        short = job.fault(FaultKind.STIR_CUT_SHORT)
        extra_s = 0.0 if short else self._hands.chance.uniform(6.0, 14.0)
        seconds = job.card.stir_s * (short.share if short else 1.0) + extra_s
        yield from self._hands.about(2.0, 4.0)
        yield from job.put_on(scale=job.habits.stirs_on_scale)
        job.say(f"stirs for {seconds:.0f} s")
        job.shift.mark(job.lot, PHASE, "begin")
        job.work(PHASE)
        job.bench.pan.stirring = job.pitcher.stand is PAN
        yield from self._hands.wait(seconds)
        job.bench.pan.stirring = False
        job.work(PHASE)
        job.shift.mark(job.lot, PHASE, "end")
        if short:
            what = f"the stir ends after {seconds:.0f} s of {job.card.stir_s:.0f} s"
            job.plant(short.kind, what)

    def _cool(self) -> Motion:
        job, window = self.job, self.job.card.pour
        yield from self._hands.about(2.0, 3.0)
        if job.habits.cools_on_plate:
            yield from job.put(job.shift.plate(job.card))
        else:
            yield from job.put_on(scale=job.habits.cools_on_scale)
        start_mishaps(job.shift, job.lot, COOLING, job.number)
        hot = job.fault(FaultKind.POUR_TOO_HOT)
        cold = job.fault(FaultKind.POUR_TOO_COLD)
        goal = window.high - MARGIN_K
        if hot:
            goal = window.high + hot.kelvin
        elif cold:
            goal = window.low - cold.kelvin
        job.say(f"lets it cool to {goal:.1f} °C")
        yield from job.cool_to(goal, window.high)
        wrong = hot or cold
        least = goal - MARGIN_K if wrong else window.low + MARGIN_K
        job.demand(job.now_degc() > least, "The pitcher is too cool for the pour")
        if wrong:
            job.plant(wrong.kind, f"the pour begins at {job.now_degc():.1f} °C")
