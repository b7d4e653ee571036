"""Whether a running lot leaves the band of good lots: said once, quietly, and taken back."""

from collector import rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.alarm_events import Bounds
from collector.anchors import PITCHER, reaches
from collector.band import Anchor, Band, Stretch
from collector.display import Display
from collector.events import AnyDerived
from collector.phases import Phase
from collector.procedure import Procedure, Where
from collector.readings import Role
from collector.recipes import Recipe

PATIENCE_US = 20_000_000
"""A stir or a draught moves the reading for less. Common practice, no source."""


class BandWatch:
    """Holds the first pitcher of one lot against its band, tick by tick.

    `channel` is the pitcher's probe. Where another alarm of this pitcher's temperature stands,
    that one tells it: leaving the band is then folded into it or not raised at all.
    """

    def __init__(
        self,
        band: Band | None,
        recipe: Recipe,
        channel: str | None,
        book: AlarmBook,
        display: Display,
    ) -> None:
        self._stretches = {s.anchor: s for s in band.stretches} if band is not None else {}
        self._book = book
        self._channel = channel
        self._display = display
        self._key = AlarmKey(rules.OFF_BAND, PITCHER, subject=channel)
        self._own = {own.rule for own in recipe.own_limits if own.role is Role.PITCHER}
        self._anchor: Anchor | None = None
        self._told: set[Anchor] = set()
        self._turned_us: int | None = None

    @property
    def known(self) -> bool:
        """Whether good lots have shown a band to be watched."""
        return bool(self._stretches)

    def tick(self, where: Where, procedure: Procedure, mdegc: int | None) -> list[AnyDerived]:
        """Let time pass; `mdegc` is the pitcher's temperature, None where nobody knows it."""
        if not self._stretches:
            return []
        pour = procedure.runs.get(Phase.POUR)
        if procedure.pitcher != PITCHER or (pour is not None and pour.ended_us is not None):
            return self._clear(where, "the pitcher was poured")
        found = reaches(procedure.runs)
        if not found:
            return []
        events: list[AnyDerived] = []
        if found[-1].anchor is not self._anchor:
            self._anchor, self._turned_us = found[-1].anchor, None
            events += self._clear(where, f"the next step began: {found[-1].anchor}")
        bounds = self._bounds(where.at_us - found[-1].from_us)
        return events + self._judge(where, found[-1].anchor, bounds, mdegc)

    def _bounds(self, since_us: int) -> Bounds | None:
        stretch = self._stretches.get(self._anchor) if self._anchor is not None else None
        return None if stretch is None else bounds_at(stretch, since_us)

    def _judge(
        self, where: Where, anchor: Anchor, bounds: Bounds | None, mdegc: int | None
    ) -> list[AnyDerived]:
        if bounds is None:
            self._turned_us = None
            return self._clear(where, "no good lot took so long")
        cause = self._cause()
        if cause is not None and self._key in self._book:
            return list(self._book.fold(where, self._key, cause))
        standing = self._key in self._book
        if mdegc is None or cause is not None or _within(bounds, mdegc) is not standing:
            self._turned_us = None
            return []
        if self._turned_us is None:
            self._turned_us = where.at_us
        if where.at_us - self._turned_us < PATIENCE_US:
            return []
        return self._turn(where, anchor, bounds, mdegc, standing=standing)

    def _turn(
        self, where: Where, anchor: Anchor, bounds: Bounds, mdegc: int, *, standing: bool
    ) -> list[AnyDerived]:
        self._turned_us = None
        if standing:
            return self._clear(where, f"back among good lots at {self._display.degrees(mdegc)}")
        if anchor in self._told:
            return []
        self._told.add(anchor)
        violation = rules.off_band(bounds, mdegc, self._display)
        return list(self._book.raise_alarm(where, self._key, violation))

    def _cause(self) -> AlarmKey | None:
        """Return what stands already about this pitcher's temperature."""
        standing = self._book.keys()
        return next((key for key in standing if self._tells(key)), None)

    def _tells(self, key: AlarmKey) -> bool:
        if key.rule == rules.OVER_TEMPERATURE:
            return key.subject == self._channel
        of_this_pitcher = key.rule in rules.OF_THE_WAX_IN_IT and key.pitcher == PITCHER
        return of_this_pitcher or key.rule in self._own

    def _clear(self, where: Where, outcome: str) -> list[AnyDerived]:
        return list(self._book.clear(where, self._key, outcome))


def bounds_at(stretch: Stretch, since_us: int) -> Bounds | None:
    """Return the band so long after its anchor, None where it does not reach; 0.001 °C."""
    step_us, last = stretch.step_s * 1_000_000, len(stretch.low_mdegc) - 1
    step, part_us = divmod(since_us, step_us)
    if since_us < 0 or step > last or (step == last and part_us):
        return None
    low, high = (
        values[step] + (values[min(step + 1, last)] - values[step]) * part_us // step_us
        for values in (stretch.low_mdegc, stretch.high_mdegc)
    )
    return Bounds(low, high)


def _within(bounds: Bounds, mdegc: int) -> bool:
    low_kept = bounds.low is None or bounds.low <= mdegc
    return low_kept and (bounds.high is None or mdegc <= bounds.high)
