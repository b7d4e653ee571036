"""Drawing wax into a pitcher: at the scale or at the pot, in strokes, ladles or two goes."""

from collections.abc import Sequence

from simulators.faults import DRAWING, FaultKind
from simulators.hands import GLANCE_S, Motion
from simulators.interludes import interlude
from simulators.mishaps import start_mishaps
from simulators.physics.pitcher import HAND, PAN
from simulators.pitcher_job import PitcherJob

DRAWS = ((0.5, 28.0), (0.32, 24.0), (0.14, 12.0))
"""The goes in which wax is drawn: share of the target and grams per second."""

LAST_DRAW_G_PER_S = 5.0
FIRST_SHARE = 0.96
LADLE_G_PER_S = (18.0, 45.0)
BACK_TO_THE_POT_S = (2.0, 7.0)
SMALL_G = 220.0
"""A smaller draw is watched more closely, so that a slip stays about a hundredth of it."""

PHASE = "draw wax"

Goes = Sequence[tuple[float, float]]


class Drawing:
    """Draws the wax of one pitcher."""

    def __init__(self, job: PitcherJob) -> None:
        self._job = job
        self._hands = job.hands
        self._habits = job.habits
        self._base_g = 0.0

    def draw(self) -> Motion:
        """Put the pitcher on the scale and draw its wax."""
        job = self._job
        start_mishaps(job.shift, job.lot, DRAWING, job.number)
        wrong = job.fault(FaultKind.WAX_SHORT) or job.fault(FaultKind.WAX_TOO_MUCH)
        wanted_g = job.share.wax_g * (wrong.share if wrong else 1.0)
        job.say(f"draws wax: {wanted_g:.1f} g")
        yield from self._take_pitcher()
        self._base_g = yield from self._hands.base(tares=self._habits.tares_pitcher)
        if self._habits.draws_at_pot:
            yield from self._fill_at_pot(wanted_g)
        else:
            yield from self._draw_at_scale(wanted_g)
        yield from self._hands.weighed(GLANCE_S)
        rest_g = self._hands.missing(wanted_g, self._base_g) + self._slip(wanted_g)
        if self._habits.overshoots:
            yield from self._overshoot(wanted_g, rest_g)
        else:
            yield from self._pour(rest_g, LAST_DRAW_G_PER_S)
        shown_g = yield from self._hands.weighed()
        self._finish(shown_g - self._base_g)
        if wrong:
            what = f"{job.drawn_g:.0f} g of wax drawn instead of {job.share.wax_g:.0f} g"
            job.plant(wrong.kind, what)
        yield from interlude(self._hands, self._habits.strays)

    def _take_pitcher(self) -> Motion:
        yield from self._hands.zero()
        self._job.bench.pitcher = self._job.pitcher
        yield from self._hands.stand(self._job.pitcher, PAN)

    def _slip(self, wanted_g: float) -> float:
        scale = min(1.0, wanted_g / SMALL_G)
        return self._job.slip(1.2 * scale, 0.6 * scale)

    def _finish(self, drawn_g: float) -> None:
        self._job.drawn_g = drawn_g
        self._job.say(f"has drawn {drawn_g:.1f} g")
        self._job.weigh("wax", self._job.pitcher.wax_g)
        self._job.work(PHASE)

    def _pour(self, grams: float, g_per_s: float) -> Motion:
        self._job.work(PHASE)
        yield from self._job.pour(grams, g_per_s, self._job.bench.draw_wax)
        self._job.work(PHASE)

    # ------------------------------------------------------------ ways of drawing

    def _draw_at_scale(self, wanted_g: float) -> Motion:
        goes = self._ladles() if self._habits.ladles else DRAWS
        pause_s = BACK_TO_THE_POT_S if self._habits.ladles else (1.5, 2.5)
        half = (len(goes) + 1) // 2 if self._habits.draws_in_two_goes else 0
        for number, (part, g_per_s) in enumerate(goes, 1):
            yield from self._hands.about(*pause_s)
            yield from self._pour(wanted_g * part, g_per_s)
            if number == half:
                yield from self._begin_second_go()

    def _ladles(self) -> Goes:
        chance = self._hands.chance
        weights = [chance.uniform(0.6, 1.4) for _ in range(self._habits.ladles)]
        whole = sum(weights) / FIRST_SHARE
        return [(weight / whole, chance.uniform(*LADLE_G_PER_S)) for weight in weights]

    def _begin_second_go(self) -> Motion:
        """Weigh what is there, tare it away, and go on with the rest."""
        if not self._habits.tares_pitcher:
            return
        shown_g = yield from self._hands.weighed()
        yield from self._hands.tare()
        self._base_g -= shown_g

    def _fill_at_pot(self, wanted_g: float) -> Motion:
        """Take the pitcher to the pot, fill it there by eye, and put it back on the scale."""
        job = self._job
        yield from self._hands.about(1.0, 2.0)
        job.pitcher.stand = HAND
        yield from self._hands.about(2.0, 5.0)
        share = self._hands.chance.uniform(0.88, 0.985)
        yield from self._pour(wanted_g * share, self._hands.chance.uniform(25.0, 60.0))
        yield from self._hands.about(2.0, 4.0)
        yield from job.put(PAN)

    def _overshoot(self, wanted_g: float, rest_g: float) -> Motion:
        """Pour past the mark, then scoop the surplus back."""
        job = self._job
        over_g = wanted_g * self._hands.chance.uniform(0.004, 0.009)
        yield from self._pour(rest_g + over_g, LAST_DRAW_G_PER_S)
        yield from self._hands.about(1.0, 2.5)
        yield from job.pour(over_g, LAST_DRAW_G_PER_S, job.bench.return_wax)
        job.work(PHASE)
