"""Adding fragrance: into the pitcher on the scale, or weighed apart in a beaker and tipped in."""

from collections.abc import Callable

from simulators.faults import FaultKind
from simulators.hands import GLANCE_S, Motion
from simulators.interludes import interlude
from simulators.physics.pitcher import BENCH, PAN
from simulators.pitcher_job import PitcherJob

FRAGRANCE_G_PER_S = 5.0
LAST_FRAGRANCE_G_PER_S = 1.5
TIPPING_G_PER_S = 15.0
MARGIN_K = 0.6  # she begins a little below the upper edge of a window
WRONG_K = 1.5  # what a planted temperature must at least be off, to be called wrong
SMALL_G = 16.0
"""Less fragrance than this is weighed more slowly, so that a slip stays a hundredth of it."""

DROP_SHARE = 0.008
"""A drop more or less, as a share of the fragrance: far inside what counts as wrong."""

PHASE = "add fragrance"
BEAKER = "beaker"
BEAKER_G = (35.0, 160.0)

Give = Callable[[float], object]


class Scenting:
    """Brings the wax of one pitcher into its window and adds the fragrance."""

    def __init__(self, job: PitcherJob) -> None:
        self._job = job
        self._hands = job.hands
        self._habits = job.habits
        self._beaker_g = 0.0

    def add(self) -> Motion:
        """Add the fragrance, as the recipe or a planted mishap has it."""
        job = self._job
        skipped = job.fault(FaultKind.FRAGRANCE_SKIPPED)
        if skipped:
            job.plant(skipped.kind, "no fragrance is added")
            return
        yield from self._hands.about(9.0, 12.0)  # she wipes the ladle; the probe catches up
        yield from self._wait_elsewhere()
        wrong = job.fault(FaultKind.FRAGRANCE_TOO_LITTLE) or job.fault(FaultKind.FRAGRANCE_TOO_MUCH)
        wanted_g = job.card.fragrance_for(job.drawn_g)
        yield from self._add_once(wanted_g * (wrong.share if wrong else 1.0))
        if wrong:
            job.plant(wrong.kind, f"{wrong.share:.0%} of the {wanted_g:.1f} g of fragrance")
        twice = job.fault(FaultKind.FRAGRANCE_TWICE)
        if twice:
            yield from self._hands.about(8.0, 12.0)
            yield from self._add_again(wanted_g)
            job.plant(twice.kind, f"{wanted_g:.1f} g of fragrance go in twice")
        job.weigh("fragrance", job.pitcher.fragrance_g)

    def _add_once(self, wanted_g: float) -> Motion:
        if self._habits.weighs_apart:
            yield from self._weigh_apart(wanted_g)
            yield from self._reach_add_window()
            yield from self._tip_in()
            return
        yield from self._reach_add_window()
        yield from self._job.put(PAN)
        yield from self._weigh_in(wanted_g)

    def _add_again(self, wanted_g: float) -> Motion:
        if self._habits.weighs_apart:
            yield from self._weigh_apart(wanted_g)
            yield from self._tip_in()
        else:
            yield from self._weigh_in(wanted_g)

    def _wait_elsewhere(self) -> Motion:
        places = {"scale": PAN, "bench": BENCH, "plate": self._job.shift.plate(self._job.card)}
        yield from self._job.put(places[self._habits.waits_on])

    def _reach_add_window(self) -> Motion:
        job, window = self._job, self._job.card.add
        cool = job.fault(FaultKind.FRAGRANCE_TOO_COOL)
        warm = job.fault(FaultKind.FRAGRANCE_TOO_WARM)
        if warm:
            what = f"fragrance goes in at {job.now_degc():.1f} °C, above {window.high:.0f} °C"
            job.demand(job.now_degc() >= window.high + WRONG_K, "The pot is not hot enough")
            job.plant(warm.kind, what)
        elif cool:
            yield from job.cool_to(window.low - cool.kelvin, window.high)
            what = f"fragrance goes in at {job.now_degc():.1f} °C, below {window.low:.0f} °C"
            job.plant(cool.kind, what)
        else:
            yield from job.cool_to(window.high - MARGIN_K, window.high)
            job.demand(job.now_degc() >= window.low + MARGIN_K, "The pot is too cool")

    # ------------------------------------------------------------ ways of weighing it

    def _weigh_in(self, wanted_g: float) -> Motion:
        base_g = yield from self._hands.base(tares=self._habits.tares_fragrance)
        job = self._job
        job.say(f"adds fragrance: {wanted_g:.1f} g at {job.now_degc():.1f} °C")
        drop_g = wanted_g * DROP_SHARE if self._habits.adds_a_drop else 0.0
        job.shift.diary.show_scent(job.number, job.bench.time_s)
        yield from self._pour(wanted_g - drop_g, base_g, self._give)
        shown_g = yield from self._hands.weighed()
        if drop_g:
            yield from self._hands.about(2.0, 6.0)
            yield from job.pour(2.0 * drop_g, LAST_FRAGRANCE_G_PER_S, self._give)
            shown_g = yield from self._hands.weighed()
        job.say(f"has added {shown_g - base_g:.1f} g")
        job.work(PHASE)

    def _weigh_apart(self, wanted_g: float) -> Motion:
        """Weigh the fragrance in a beaker of its own, while the wax cools beside the scale."""
        job, hands = self._job, self._hands
        if job.pitcher.stand is PAN:
            yield from job.put(BENCH)
            yield from hands.about(1.0, 3.0)
        yield from hands.zero()
        empty_g = hands.chance.uniform(*BEAKER_G)
        job.work(PHASE)
        yield from hands.put(BEAKER, empty_g)
        base_g = yield from hands.base(tares=self._habits.tares_beaker)
        job.say(f"weighs {wanted_g:.1f} g of fragrance in a beaker")
        bench = job.bench
        yield from self._pour(wanted_g, base_g, lambda grams: bench.lay_in(BEAKER, grams))
        yield from hands.weighed()
        self._beaker_g = bench.on_pan[BEAKER] - empty_g
        yield from hands.lift(BEAKER)
        yield from interlude(hands, self._habits.strays)

    def _tip_in(self) -> Motion:
        job, hands = self._job, self._hands
        if self._habits.tips_in_on_scale:
            yield from hands.about(0.5, 1.5)
            yield from job.put(PAN)
            yield from hands.about(2.2, 4.0)
        job.say(f"tips it in at {job.now_degc():.1f} °C")
        job.shift.diary.show_scent(job.number, job.bench.time_s)
        yield from job.pour(self._beaker_g, TIPPING_G_PER_S, self._give)
        yield from hands.weighed()
        job.work(PHASE)

    def _pour(self, wanted_g: float, base_g: float, give: Give) -> Motion:
        job = self._job
        job.work(PHASE)
        yield from job.pour(wanted_g * 0.85, FRAGRANCE_G_PER_S, give)
        yield from self._hands.weighed(GLANCE_S)
        sigma_g = 0.1 * min(1.0, wanted_g / SMALL_G)
        rest_g = self._hands.missing(wanted_g, base_g) + job.slip(0.0, sigma_g)
        yield from job.pour(rest_g, LAST_FRAGRANCE_G_PER_S, give)
        job.work(PHASE)

    def _give(self, grams: float) -> None:
        self._job.bench.add_fragrance(grams)
