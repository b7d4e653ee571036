"""A pour day: several lots out of one pot, what each has drawn, and whether the rest suffices.

All masses are integers of 0.001 g. The pot must hold the wax of every lot and what stays on its
own wall. What was drawn is what was weighed into the pitchers; wax that was ladled back or
spilled is not seen.
"""

from collections.abc import Iterable, Sequence

import msgspec

from collector.batch_sheet import PitcherSheet, batch_sheet
from collector.conclusions import WeighingKind
from collector.display import Display
from collector.lot_events import LotOpened, PlannedLot, PourDayPlanned
from collector.lot_record import LotRecord
from collector.lots import LotState
from collector.pot import Pot
from collector.recipes import PPM, Recipe


class PitcherOfDay(msgspec.Struct, frozen=True):
    """One pitcher: its wax as planned, as drawn (None before), and what it still needs."""

    sheet: PitcherSheet
    drawn_mg: int | None
    needed_mg: int


class LotOfDay(msgspec.Struct, frozen=True):
    """One lot of the day; `lot` and `state` are None while it is not opened."""

    recipe: Recipe
    vessels: int
    lot: str | None
    state: LotState | None
    pitchers: tuple[PitcherOfDay, ...]

    @property
    def wax_mg(self) -> int:
        """The wax of its batch sheet."""
        return sum(pitcher.sheet.wax_mg for pitcher in self.pitchers)

    @property
    def drawn_mg(self) -> int:
        """The wax weighed into its pitchers so far."""
        return sum(pitcher.drawn_mg or 0 for pitcher in self.pitchers)

    @property
    def needed_mg(self) -> int:
        """The wax that its remaining pitchers need."""
        return sum(pitcher.needed_mg for pitcher in self.pitchers)


class DaySheet(msgspec.Struct, frozen=True):
    """The pot of a day and its lots, in order; `melted_mg` is None where nobody said."""

    day: str
    lots: tuple[LotOfDay, ...]
    melted_mg: int | None
    residue_mg: int

    @property
    def must_hold_mg(self) -> int:
        """What the pot must hold at the beginning: every lot as planned, and its own residue."""
        return sum(lot.wax_mg for lot in self.lots) + self.residue_mg

    @property
    def drawn_mg(self) -> int:
        """What was drawn so far."""
        return sum(lot.drawn_mg for lot in self.lots)

    @property
    def needed_mg(self) -> int:
        """What the rest of the day needs, without the residue."""
        return sum(lot.needed_mg for lot in self.lots)

    @property
    def left_mg(self) -> int | None:
        """What should be in the pot now, its residue included; None where nobody said."""
        return None if self.melted_mg is None else max(0, self.melted_mg - self.drawn_mg)

    @property
    def spare_mg(self) -> int | None:
        """By how much the pot holds more than the rest needs; negative where it is short."""
        return None if self.left_mg is None else self.left_mg - self.residue_mg - self.needed_mg

    @property
    def enough(self) -> bool | None:
        """Whether the pot holds what the rest of the day needs; None where nobody said."""
        return None if self.spare_mg is None else self.spare_mg >= 0


def day_sheet(planned: PourDayPlanned, records: Sequence[LotRecord]) -> DaySheet:
    """Return the sheet of a day; `records` are those of its lots that were opened, in order.

    A lot that a newer plan has no place for comes last: its wax is out of the pot all the same.
    """
    opened = assigned(planned.lots, [record.opened for record in records])
    by_lot = {record.opened.lot: record for record in records}
    lots = [
        _planned(plan) if lot is None else _opened(by_lot.pop(lot.lot))
        for plan, lot in zip(planned.lots, opened, strict=True)
    ]
    lots += [_opened(record) for record in by_lot.values()]
    return DaySheet(planned.day, tuple(lots), planned.melted_mg, planned.residue_mg)


def pot_for(sheet: DaySheet, lot: str) -> Pot | None:
    """Return the pot as an opened lot of the day is told of it; None where nobody said."""
    if sheet.melted_mg is None:
        return None
    others = [other for other in sheet.lots if other.lot != lot]
    drawn_mg = sum(other.drawn_mg for other in others)
    return Pot(
        max(0, sheet.melted_mg - sheet.residue_mg - drawn_mg),
        sum(other.needed_mg for other in others),
    )


def assigned(
    plans: Sequence[PlannedLot], opened: Iterable[LotOpened]
) -> tuple[LotOpened | None, ...]:
    """Return which lot each plan became: the first of its recipe that is not another plan's."""
    waiting = list(opened)
    found: list[LotOpened | None] = []
    for plan in plans:
        lot = next((lot for lot in waiting if lot.recipe.name == plan.recipe.name), None)
        if lot is not None:
            waiting.remove(lot)
        found.append(lot)
    return tuple(found)


def _planned(plan: PlannedLot) -> LotOfDay:
    sheets = batch_sheet(plan.recipe, plan.vessels).pitchers
    pitchers = tuple(PitcherOfDay(sheet, None, sheet.wax_mg) for sheet in sheets)
    return LotOfDay(plan.recipe, plan.vessels, None, None, pitchers)


def _opened(record: LotRecord) -> LotOfDay:
    recipe, vessels = record.opened.recipe, record.opened.vessels
    pitchers = tuple(
        _pitcher(record, recipe, sheet) for sheet in batch_sheet(recipe, vessels).pitchers
    )
    return LotOfDay(recipe, vessels, record.opened.lot, record.state, pitchers)


def _pitcher(record: LotRecord, recipe: Recipe, sheet: PitcherSheet) -> PitcherOfDay:
    weighed = {w.kind: w.mass_mg for w in record.weighings if w.pitcher == sheet.number}
    drawn_mg = weighed.get(WeighingKind.WAX)
    begun = max((w.pitcher for w in record.weighings), default=0)
    over = (
        record.state is LotState.CLOSED
        or begun > sheet.number
        or WeighingKind.FRAGRANCE in weighed
        or WeighingKind.FILL in weighed
    )
    missing_mg = sheet.wax_mg - (drawn_mg or 0)
    tolerated_mg = sheet.wax_mg * recipe.wax.tolerance_ppm // PPM
    needed_mg = 0 if over or missing_mg <= tolerated_mg else missing_mg
    return PitcherOfDay(sheet, drawn_mg, needed_mg)


def pot_words(sheet: DaySheet, display: Display) -> str:
    """Say whether the pot suffices, and where it runs out."""
    spare_mg, needed = sheet.spare_mg, display.grams(sheet.needed_mg)
    residue = display.grams(sheet.residue_mg)
    if spare_mg is None:
        return (
            f"The day needs {needed} of wax more, and {residue} stay in the pot; nobody said how"
            " much was melted."
        )
    left = display.grams(sheet.left_mg or 0)
    if not sheet.needed_mg:
        return f"Every lot of the day is drawn; {left} should be left in the pot."
    if spare_mg >= 0:
        return (
            f"The pot holds {left}; the rest of the day needs {needed}, {residue} stay in it and"
            f" {display.grams(spare_mg)} are left over."
        )
    return (
        f"The pot holds {display.grams(-spare_mg)} less than the rest of the day needs: {left}, and"
        f" {needed} are needed besides the {residue} that stay in it. It runs out in"
        f" {_runs_out(sheet)}: melt as much more before that, or fill fewer vessels."
    )


def _runs_out(sheet: DaySheet) -> str:
    """Return the pitcher for which the wax no longer suffices."""
    left_mg = (sheet.left_mg or 0) - sheet.residue_mg
    needed = ((lot, p) for lot in sheet.lots for p in lot.pitchers if p.needed_mg)
    for lot, pitcher in needed:
        left_mg -= pitcher.needed_mg
        if left_mg < 0:
            return f"{lot.recipe.name}, pitcher {pitcher.sheet.number} of {len(lot.pitchers)}"
    return "the last pitcher"
