"""Pour days read from the store, and shown."""

from api import pour_day_shapes, sheet_shapes
from api.instants import instant
from api.pour_day_shapes import PourDayShown
from api.presenting import thousandths, thousandths_or_none
from collector.display import Display
from collector.errors import ConflictError, NotFoundError
from collector.lot_events import LotOpened, PourDayPlanned
from collector.lot_record import LotRecord, record_of
from collector.pot import Pot
from collector.pour_day import (
    DaySheet,
    LotOfDay,
    PitcherOfDay,
    assigned,
    day_sheet,
    pot_for,
    pot_words,
)
from collector.store.history import History


def planned_days(history: History) -> dict[str, PourDayPlanned]:
    """Return every pour day as it was last planned, the newest first."""
    days: dict[str, PourDayPlanned] = {}
    for stored in history.events_of([PourDayPlanned]):
        if isinstance(stored.event, PourDayPlanned):
            days[stored.event.day] = stored.event
    return dict(reversed(days.items()))


def read_day(history: History, day: str) -> PourDayPlanned:
    """Return one pour day. Raises NotFoundError."""
    try:
        return planned_days(history)[day]
    except KeyError:
        raise NotFoundError(
            f"There is no pour day {day!r}. GET /api/pour-days lists them."
        ) from None


def opened_on(history: History, day: str) -> list[LotOpened]:
    """Return the openings of a day's lots, in order."""
    opened = (stored.event for stored in history.events_of([LotOpened]))
    return [event for event in opened if isinstance(event, LotOpened) and event.pour_day == day]


def read_sheet(history: History, day: str) -> DaySheet:
    """Return the sheet of a day as it stands. Raises NotFoundError."""
    return day_sheet(read_day(history, day), _records_on(history, day))


def pot_at_opening(history: History, opening: LotOpened) -> Pot | None:
    """Return what a lot that is being opened has to know of its pot. Raises NotFoundError."""
    if opening.pour_day is None:
        return None
    planned = read_day(history, opening.pour_day)
    records = [*_records_on(history, opening.pour_day), record_of([opening])]
    return pot_for(day_sheet(planned, records), opening.lot or "")


def _records_on(history: History, day: str) -> list[LotRecord]:
    lots = [opened.lot or "" for opened in opened_on(history, day)]
    return [record_of(stored.event for stored in history.events(lot)) for lot in lots]


def check_on_day(history: History, day: str, recipe: str) -> None:
    """Refuse a lot that is not on a day.

    Raises NotFoundError for a day that is not there, ConflictError where it has no such recipe
    or all lots of that recipe are opened.
    """
    planned = read_day(history, day)
    taken = assigned(planned.lots, opened_on(history, day))
    plans = [
        lot for plan, lot in zip(planned.lots, taken, strict=True) if plan.recipe.name == recipe
    ]
    if not plans:
        known = ", ".join(dict.fromkeys(plan.recipe.name for plan in planned.lots))
        raise ConflictError(f"{recipe!r} is not on pour day {day}, which has {known}.")
    if None not in plans:
        raise ConflictError(
            f"Every lot of {recipe!r} on pour day {day} is opened already: open this one without"
            " the pour day."
        )


def pot(sheet: DaySheet, display: Display) -> sheet_shapes.PotShown:
    """Show what the pot holds against what the rest of the day needs."""
    return sheet_shapes.PotShown(
        pour_day=sheet.day,
        must_hold=thousandths(sheet.must_hold_mg),
        residue=thousandths(sheet.residue_mg),
        melted=thousandths_or_none(sheet.melted_mg),
        drawn=thousandths(sheet.drawn_mg),
        left=thousandths_or_none(sheet.left_mg),
        needed=thousandths(sheet.needed_mg),
        enough=sheet.enough,
        message=pot_words(sheet, display),
    )


def show(history: History, planned: PourDayPlanned, display: Display) -> PourDayShown:
    """Show a pour day as it is planned, with what was made of it so far."""
    sheet = day_sheet(planned, _records_on(history, planned.day))
    return PourDayShown(
        id=sheet.day,
        planned_at=instant(planned.at_us),
        pot=pot(sheet, display),
        lots=[_lot(lot) for lot in sheet.lots],
    )


def _lot(lot: LotOfDay) -> pour_day_shapes.LotOfDayShown:
    return pour_day_shapes.LotOfDayShown(
        recipe=lot.recipe.name,
        vessels=lot.vessels,
        lot=lot.lot,
        state=lot.state.value if lot.state is not None else "planned",
        wax=thousandths(lot.wax_mg),
        drawn=thousandths(lot.drawn_mg),
        needed=thousandths(lot.needed_mg),
        pitchers=[_pitcher(pitcher) for pitcher in lot.pitchers],
    )


def _pitcher(pitcher: PitcherOfDay) -> pour_day_shapes.PitcherOfDayShown:
    return pour_day_shapes.PitcherOfDayShown(
        pitcher=pitcher.sheet.number,
        vessels=pitcher.sheet.vessels,
        wax=thousandths(pitcher.sheet.wax_mg),
        fragrance=thousandths(pitcher.sheet.fragrance_mg),
        drawn=thousandths_or_none(pitcher.drawn_mg),
        needed=thousandths(pitcher.needed_mg),
    )
