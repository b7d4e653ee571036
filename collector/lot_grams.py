"""Whether what was weighed for one lot is what it should be, and what puts it right."""

import msgspec

from collector import advice, mix_advice, rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.batch_sheet import BatchSheet
from collector.conclusions import WeighingKind
from collector.corrections import Mixed, mixed_of
from collector.events import AnyDerived
from collector.findings import Weighed
from collector.lot_events import LotOpened
from collector.lot_heat import LotHeat
from collector.pot_watch import PotWatch
from collector.procedure import Where
from collector.progress import Progress


class LotGrams:
    """Judges the weighings of one lot."""

    def __init__(  # noqa: PLR0913 - one for each thing that advice rests on
        self,
        opened: LotOpened,
        *,
        sheet: BatchSheet,
        progress: Progress,
        pot: PotWatch,
        heat: LotHeat,
        book: AlarmBook,
    ) -> None:
        self._recipe = opened.recipe
        self._vessels = opened.vessels
        self._display = opened.display
        self._sheet = sheet
        self._progress = progress
        self._pot = pot
        self._heat = heat
        self._book = book

    def judge(self, where: Where, weighed: Weighed) -> list[AnyDerived]:
        """Judge one weighing, or a revision of one."""
        rule, _phase = rules.GRAMS_RULES[weighed.kind]
        key = AlarmKey(rule, weighed.pitcher, weighed.vessel)
        if weighed.expected.met_by(weighed.mass_mg):
            now = self._display.grams(weighed.mass_mg)
            return list(self._book.clear(where, key, f"put right: now {now}"))
        words = self._words(where, weighed)
        violation = rules.grams(weighed.kind, weighed.expected, weighed.mass_mg, words)
        return list(self._book.raise_alarm(where, key, violation))

    def _words(self, where: Where, weighed: Weighed) -> advice.Words:
        recipe, display = self._recipe, self._display
        expected, mass = weighed.expected, weighed.mass_mg
        mixed, pot = self._mixed(weighed), self._pot.while_at(weighed.pitcher)
        if weighed.kind is WeighingKind.WAX:
            return mix_advice.wax_grams(recipe, mixed, expected, mass, display, pot)
        if weighed.kind is WeighingKind.FRAGRANCE:
            wax = self._heat.wax_now(where.at_us)
            return mix_advice.fragrance_grams(recipe, mixed, wax, display, pot)
        vessel = weighed.vessel or self._progress.filled
        words = advice.fill_grams(vessel, self._vessels, expected, mass, display)
        short = mix_advice.mix_short(recipe, mixed) if mass < expected.target_mg else ""
        return msgspec.structs.replace(words, advice=words.advice + short)

    def _mixed(self, weighed: Weighed) -> Mixed:
        """Return what is in the pitcher that a weighing belongs to, as far as it was weighed."""
        progress, sheet = self._progress, self._sheet.pitchers[weighed.pitcher - 1]
        wax_mg, fragrance_mg = progress.drawn_mg, progress.fragrance_mg
        if weighed.kind is WeighingKind.WAX:
            wax_mg = weighed.mass_mg
        elif weighed.kind is WeighingKind.FRAGRANCE:
            fragrance_mg = weighed.mass_mg
        return mixed_of(self._recipe, sheet, wax_mg, fragrance_mg)
