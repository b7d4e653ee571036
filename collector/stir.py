"""The stir of a lot, pitcher by pitcher: what the scale saw of it, and whether it was enough."""

from collections import deque
from collections.abc import Iterable

from collector import rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.conclusions import Source
from collector.events import AnyDerived
from collector.phases import Phase
from collector.procedure import Procedure, Where
from collector.recipes import Recipe
from collector.stirring import Glimpse, Stirred, StirWatch

SKIPPED_DIVISOR = 4
"""Where less than a quarter of the stir can have happened, it did not: setting the pitcher down
and reaching for a vessel takes as long. Common practice, no source."""

LEAST_STIR_US = 10_000_000
"""The same where the recipe asks for a stir but sets no time."""

LOG_US, LOG_EVERY_US = 3_600_000_000, 1_000_000
"""What the scale did is remembered for an hour, second by second: fragrance may be told late."""


class Stir:
    """Follows and judges the stir between the fragrance and the pour.

    A scale whose display is `typed` in shows nothing in between: any of it may be stirring.
    """

    def __init__(self, recipe: Recipe, book: AlarmBook, *, typed: bool = False) -> None:
        self._typed = typed
        self._gap_us = 0
        self._until_us: int | None = None  # when the pour began
        self._log: deque[Glimpse] = deque()
        self._at_least_s = recipe.stir_at_least_s
        self._book = book
        self._watch: StirWatch | None = None
        self.scented_us: int | None = None

    def scented(self, settled_us: int) -> list[Stirred]:
        """Take note of fragrance in the wax since `settled_us`; return what was seen since."""
        self.scented_us = settled_us
        self._watch = StirWatch(settled_us)
        since = [seen for seen in self._log if seen.at_us > settled_us]
        return _all(self._watch.feed(seen) for seen in since)

    def undo(self) -> None:
        """Forget what the scale saw: fragrance goes in, now or again."""
        self._watch = None

    def start_afresh(self) -> None:
        """Begin with the next pitcher."""
        self._watch = self.scented_us = self._until_us = None
        self._gap_us = 0

    def watch(self, seen: Glimpse, *, going: bool) -> list[Stirred]:
        """Take what the scale did at one reading; return what it saw begin or end.

        `going` says that it may be stirred now.
        """
        self._remember(seen)
        found = self._watch.feed(seen) if self._watch is not None and going else None
        return [] if found is None else [found]

    def _remember(self, seen: Glimpse) -> None:
        log = self._log
        if log and seen.at_us < log[-1].at_us + LOG_EVERY_US and seen.alike(log[-1]):
            return
        log.append(seen)
        while log[0].at_us < seen.at_us - LOG_US:
            log.popleft()

    def enough(self, lasted_us: int) -> bool:
        """Tell whether a stir lasted as long as the recipe asks for."""
        at_least_s = self._at_least_s
        if at_least_s is None:
            return True
        return rules.stir_duration(at_least_s, lasted_us, at_most=False) is None

    def settle(self, where: Where, procedure: Procedure, until_us: int) -> list[AnyDerived]:
        """Judge the stir now that the pour begins; without a sign of it, the gap is its bound."""
        run = procedure.runs.get(Phase.STIR)
        if self._at_least_s is None:
            return []
        if self._typed and self.scented_us is not None:
            self._gap_us = where.at_us - self.scented_us
        self._until_us = until_us
        if run is not None:
            events: list[AnyDerived] = []
            events += procedure.end(where, Phase.STIR, until_us, run.source)
            return events + self.judge(where, procedure, at_most=run.source is not Source.MARK)
        if self.scented_us is None or not self._maybe_stirred:
            return []
        events = list(procedure.begin(where, Phase.STIR, self.scented_us, Source.GAP))
        events += procedure.end(
            where, Phase.STIR, until_us, Source.GAP, at_most_us=self._possible_us
        )
        return events + self.judge(where, procedure, at_most=True)

    def settle_late(
        self, where: Where, procedure: Procedure, found: Iterable[Stirred]
    ) -> list[AnyDerived]:
        """Judge the stir of fragrance that is found only now that the pour is going on."""
        if self._at_least_s is None or Phase.STIR in procedure.runs:
            return []
        self._until_us = until_us = procedure.runs[Phase.POUR].began_us
        spans = [each for each in found if each.began_us < until_us]
        if not spans and not self._maybe_stirred:
            return []
        began_us = spans[0].began_us if spans else until_us - self._possible_us
        ended_us = min(until_us, spans[-1].ended_us or until_us) if spans else until_us
        source = Source.SCALE if spans else Source.GAP
        events: list[AnyDerived] = []
        events += procedure.insert(where, Phase.STIR, began_us, ended_us, source)
        return events + self.judge(where, procedure, at_most=True)

    def resume(self, where: Where, procedure: Procedure) -> list[AnyDerived]:
        """Go on: the pour that seemed to begin did not, so the gap before it says nothing yet."""
        self._until_us = None
        run = procedure.runs.get(Phase.STIR)
        if run is None or run.source is not Source.GAP:
            return []
        key = AlarmKey(rules.STIR_DURATION, procedure.pitcher)
        events: list[AnyDerived] = list(self._book.clear(where, key, "the pour has not begun"))
        return events + list(procedure.withdraw(where, Phase.STIR))

    def judge(self, where: Where, procedure: Procedure, *, at_most: bool) -> list[AnyDerived]:
        """Judge what was stirred: a mark is exact, the scale only bounds it from above.

        Without fragrance there was nothing to stir in, and that is another rule's to tell.
        """
        if Phase.ADD_FRAGRANCE not in procedure.runs:
            return []
        lasted_us = procedure.runs[Phase.STIR].duration_us
        if at_most:
            lasted_us = max(lasted_us, self._possible_us)
        key = AlarmKey(rules.STIR_DURATION, procedure.pitcher)
        violation = None
        if self._at_least_s is not None:
            violation = rules.stir_duration(self._at_least_s, lasted_us, at_most=at_most)
        if violation is None:
            return list(self._book.clear(where, key, "stirred on"))
        return list(self._book.raise_alarm(where, key, violation))

    @property
    def _possible_us(self) -> int:
        """The longest that it can have been stirred since the fragrance, as the scale saw it."""
        if self._typed:
            return self._gap_us
        if self._watch is None:
            return 0
        until_us = self._until_us
        return self._watch.possible_us if until_us is None else self._watch.possible_by(until_us)

    @property
    def _maybe_stirred(self) -> bool:
        at_least_s = self._at_least_s or 0
        return self._possible_us >= max(LEAST_STIR_US, at_least_s * 1_000_000 // SKIPPED_DIVISOR)


def _all(found: Iterable[Stirred | None]) -> list[Stirred]:
    return [each for each in found if each is not None]
