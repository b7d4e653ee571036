"""Two lots side by side: laid on what happened, each stretch as long as both go on."""

from test_bands import S, cooled, lot_record, run

from collector.band import Anchor
from collector.beside import Laid, PhasePair, laid_beside, phase_pairs
from collector.phases import Phase

NEVER_US = 99_000 * S


def test_a_slower_lot_is_laid_on_this_lots_events_and_ends_with_its_stretches() -> None:
    here, there = cooled("1", 1.0).record, cooled("2", 2.0).record
    assert laid_beside(here, there, NEVER_US) == (
        Laid(Anchor.DRAWN, 200 * S, 400 * S, -100 * S),
        Laid(Anchor.SCENTED, 600 * S, 800 * S, -300 * S),
        Laid(Anchor.STIRRED, 1000 * S, 1200 * S, -500 * S),
        Laid(Anchor.POURING, 1400 * S, 1550 * S, -700 * S),
    )


def test_a_quicker_lot_ends_before_this_lots_stretches_do() -> None:
    here, there = cooled("1", 1.0).record, cooled("2", 0.5).record
    drawn = laid_beside(here, there, NEVER_US)[0]
    assert drawn == Laid(Anchor.DRAWN, 50 * S, 150 * S, 50 * S)


def test_only_events_that_both_lots_had_are_laid_over_each_other() -> None:
    here = cooled("1", 1.0).record
    unstirred = lot_record(
        run(Phase.DRAW_WAX, 10, 60), run(Phase.ADD_FRAGRANCE, 100, 130), run(Phase.POUR, 300, 400)
    )
    anchors = [laid.anchor for laid in laid_beside(here, unstirred, NEVER_US)]
    assert anchors == [Anchor.DRAWN, Anchor.SCENTED, Anchor.POURING]


def test_what_still_goes_on_ends_now_and_a_closed_lot_with_its_closing() -> None:
    here = cooled("1", 1.0).record
    pouring = lot_record(run(Phase.DRAW_WAX, 10, 60))  # closed after 9,000 s, as all of them
    (laid,) = laid_beside(pouring, here, NEVER_US)
    assert laid == Laid(Anchor.DRAWN, 100 * S, 300 * S, -40 * S)
    (laid,) = laid_beside(pouring, pouring, NEVER_US)
    assert laid.until_us == 9_000 * S


def test_phases_stand_side_by_side_in_the_order_of_the_recipe() -> None:
    here = lot_record(
        run(Phase.DRAW_WAX, 0, 50), run(Phase.STIR, 100, 160), run(Phase.SET, 500, 600)
    )
    there = lot_record(run(Phase.ADD_FRAGRANCE, 60, 80), run(Phase.STIR, 90, 120))
    assert phase_pairs(here, there) == (
        PhasePair(Phase.DRAW_WAX, 0, None),
        PhasePair(Phase.ADD_FRAGRANCE, None, 0),
        PhasePair(Phase.STIR, 0, 0),
    )


def test_another_pitchers_phases_do_not_count() -> None:
    here = lot_record(run(Phase.DRAW_WAX, 0, 50, pitcher=2))
    assert phase_pairs(here, here) == ()
    assert laid_beside(here, here, NEVER_US) == ()
