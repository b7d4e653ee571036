"""Several lots out of one pot: what it must hold, what is drawn, and where it runs out.

AMBER, 6 vessels: mix 6 x 220 + 6 = 1326 g, wax 1326 / 1.08 = 1227.778 g.
TIN, 5 vessels: mix 5 x 120 + 4 = 604 g, fragrance 7 % of it = 42.28 g, wax 561.72 g.
Together 1789.498 g of wax, and 50 g that stay in the pot: 1839.498 g.
"""

from stranger_round import AMBER, TIN

from collector.conclusions import Evidence, WeighingAccepted, WeighingKind
from collector.display import Display
from collector.events import AnyEvent
from collector.lot_events import LotClosed, LotOpened, PlannedLot, PourDayPlanned
from collector.lot_record import LotRecord, record_of
from collector.pour_day import DaySheet, day_sheet, pot_words
from collector.recipes import Recipe

GRAMS = Display()
SEEN = Evidence("creek-scale", 1, 2, 9)


def planned(melted_mg: int | None = 2_000_000, *lots: PlannedLot) -> PourDayPlanned:
    return PourDayPlanned(
        at_us=0,
        bench=None,
        lot=None,
        day="day-1",
        lots=lots or (PlannedLot(AMBER, 6), PlannedLot(TIN, 5)),
        melted_mg=melted_mg,
        residue_mg=50_000,
    )


def opened(lot: str, recipe: Recipe, vessels: int) -> LotOpened:
    return LotOpened(
        at_us=0,
        bench="creek",
        lot=lot,
        recipe=recipe,
        vessels=vessels,
        channels=(),
        pour_day="day-1",
    )


def weighed(lot: str, kind: WeighingKind, mass_mg: int, pitcher: int = 1) -> WeighingAccepted:
    return WeighingAccepted(
        at_us=1,
        bench="creek",
        lot=lot,
        kind=kind,
        pitcher=pitcher,
        vessel=None,
        mass_mg=mass_mg,
        target_mg=mass_mg,
        tolerance_mg=1,
        evidence=SEEN,
    )


def record(lot: str, recipe: Recipe, vessels: int, *events: AnyEvent) -> LotRecord:
    return record_of([opened(lot, recipe, vessels), *events])


def words(sheet: DaySheet) -> str:
    return pot_words(sheet, GRAMS)


def test_a_planned_day_says_what_the_pot_must_hold() -> None:
    sheet = day_sheet(planned(), [])
    assert (sheet.must_hold_mg, sheet.needed_mg) == (1_839_498, 1_789_498)
    assert (sheet.left_mg, sheet.spare_mg, sheet.enough) == (2_000_000, 160_502, True)
    assert "160.5 g are left over" in words(sheet)


def test_a_pot_that_is_short_from_the_beginning_says_where_it_runs_out() -> None:
    sheet = day_sheet(planned(1_500_000), [])
    assert (sheet.spare_mg, sheet.enough) == (-339_498, False)
    assert "holds 339.5 g less than the rest of the day needs" in words(sheet)
    assert f"runs out in {TIN.name}, pitcher 1 of 1" in words(sheet)


def test_a_pot_that_holds_less_than_its_residue_runs_out_in_the_first_pitcher() -> None:
    assert f"runs out in {AMBER.name}, pitcher 1 of 1" in words(day_sheet(planned(10_000), []))


def test_wax_that_nobody_weighed_into_the_pot_is_not_known_to_suffice() -> None:
    sheet = day_sheet(planned(None), [])
    assert (sheet.left_mg, sheet.enough) == (None, None)
    assert "needs 1789.5 g of wax more" in words(sheet)


def test_what_was_really_drawn_counts_and_not_what_was_planned() -> None:
    # 1300 g drawn instead of 1227.778: 72.222 g less to spare, 160.502 - 72.222 = 88.280 g
    drawn = record("1", AMBER, 6, weighed("1", WeighingKind.WAX, 1_300_000))
    sheet = day_sheet(planned(), [drawn])
    assert (sheet.drawn_mg, sheet.left_mg, sheet.needed_mg) == (1_300_000, 700_000, 561_720)
    assert sheet.spare_mg == 88_280


def test_wax_drawn_short_is_still_needed_until_the_fragrance_is_in() -> None:
    wax = weighed("1", WeighingKind.WAX, 1_000_000)
    short = day_sheet(planned(), [record("1", AMBER, 6, wax)])
    assert short.lots[0].needed_mg == 227_778
    scented = record("1", AMBER, 6, wax, weighed("1", WeighingKind.FRAGRANCE, 80_000))
    assert day_sheet(planned(), [scented]).lots[0].needed_mg == 0


def test_a_closed_lot_needs_nothing_more() -> None:
    closed = record("1", AMBER, 6, LotClosed(at_us=9, bench="creek", lot="1"))
    sheet = day_sheet(planned(), [closed])
    assert (sheet.lots[0].needed_mg, sheet.needed_mg) == (0, 561_720)


def test_the_pitchers_of_the_running_lot_that_are_not_drawn_are_still_needed() -> None:
    # 12 vessels in two pitchers of 1326 g: 1227.778 g of wax each
    running = record("1", AMBER, 12, weighed("1", WeighingKind.WAX, 1_227_778))
    sheet = day_sheet(planned(2_500_000, PlannedLot(AMBER, 12)), [running])
    assert [pitcher.needed_mg for pitcher in sheet.lots[0].pitchers] == [0, 1_227_778]
    assert sheet.spare_mg == 2_500_000 - 1_227_778 - 50_000 - 1_227_778


def test_two_lots_of_one_recipe_are_taken_in_order() -> None:
    day = planned(2_000_000, PlannedLot(TIN, 5), PlannedLot(TIN, 3))
    first = record("1", TIN, 5, weighed("1", WeighingKind.WAX, 561_720))
    assert [lot.lot for lot in day_sheet(day, [first]).lots] == ["1", None]
    assert [lot.lot for lot in day_sheet(day, [first, record("2", TIN, 3)]).lots] == ["1", "2"]


def test_a_day_that_is_drawn_says_what_should_be_left() -> None:
    lots = [
        record("1", AMBER, 6, weighed("1", WeighingKind.WAX, 1_227_778)),
        record("2", TIN, 5, weighed("2", WeighingKind.WAX, 561_720)),
    ]
    sheet = day_sheet(planned(), lots)
    assert words(sheet) == "Every lot of the day is drawn; 210.5 g should be left in the pot."
