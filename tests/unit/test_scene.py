"""One explanation of a scale: what stands on it, and what is in the pitcher."""

from scale_steps import FILL, FRAGRANCE, WAX, addition_of, mg, plateau

from collector.additions import Key
from collector.expectations import Stage
from collector.scene import Lifted, Load, Scene


def drawn() -> Scene:
    """A tared pitcher with its wax; the bare pan would show -310 g."""
    wax = addition_of(WAX, 616.7)
    return Scene(Load.PITCHER, mg(-310), 0, stage=Stage.FRAGRANCE, open=wax, away_at_mg=mg(20))


def scented() -> Scene:
    """The same with 49.3 g of fragrance on top."""
    fragrance = addition_of(FRAGRANCE, 49.3, base_g=616.7)
    return drawn().closed().but(stage=Stage.BLEND, open=fragrance)


def test_a_tare_shifts_what_the_display_shows_of_everything_together() -> None:
    tared = drawn().tared(mg(616.7))
    assert (tared.bare_mg, tared.empty_mg) == (mg(-926.7), mg(-616.7))
    assert tared.away_at_mg == mg(-596.7)
    assert tared.open is not None
    assert (tared.open.base_mg, tared.open.tared) == (mg(-616.7), True)


def test_a_tare_changes_no_mass() -> None:
    before = scented()
    after = before.tared(mg(666.0))
    assert (after.wax_mg, after.fragrance_mg) == (mg(616.7), mg(49.3))
    assert after.in_container_mg == before.in_container_mg == mg(666.0)
    assert after.at_rest(plateau(0.0)).fragrance_mg == mg(49.3)


def test_a_scale_that_slips_was_not_tared() -> None:
    slipped = drawn().shifted(mg(0.6))
    assert slipped.open is not None
    assert (slipped.open.base_mg, slipped.open.tared) == (mg(0.6), False)


def test_a_tare_does_not_tell_what_was_not_known() -> None:
    tared = Scene().tared(mg(100))
    assert (tared.bare_mg, tared.empty_mg, tared.away_at_mg) == (None, None, None)


def test_a_tare_under_a_thing_shifts_the_scene_beneath_it() -> None:
    laid = drawn().but(load=Load.THING, under=drawn(), under_mg=mg(616.7))
    tared = laid.tared(mg(50))
    assert tared.under == drawn().shifted(mg(-50))
    assert tared.under_mg == mg(566.7)


def test_the_pitcher_holds_wax_and_fragrance_less_what_was_filled() -> None:
    assert Scene().in_pitcher_mg == 0
    assert drawn().in_pitcher_mg == mg(616.7)
    assert scented().in_pitcher_mg == mg(666.0)
    fills = (addition_of(FILL, 220.0, vessel=1), addition_of(FILL, 218.5, vessel=2))
    pouring = scented().closed()
    pouring = pouring.but(stage=Stage.POUR, made=(*pouring.made, fills[0]), open=fills[1], filled=2)
    assert pouring.poured_mg == mg(438.5)
    assert pouring.in_pitcher_mg == mg(227.5)


def test_more_cannot_be_poured_out_than_was_in() -> None:
    fill = addition_of(FILL, 700.0, vessel=1)
    assert drawn().closed().but(open=fill).in_pitcher_mg == 0


def test_fragrance_that_is_apart_is_weighed_and_not_in_the_pitcher() -> None:
    apart = drawn().closed().but(load=Load.BEAKER)
    apart = apart.with_open(addition_of(FRAGRANCE, 49.3, apart=True))
    assert (apart.apart_mg, apart.fragrance_mg) == (mg(49.3), mg(49.3))
    assert apart.in_pitcher_mg == mg(616.7)
    assert apart.in_container_mg == mg(49.3)


def test_fragrance_that_goes_on_apart_counts_only_what_came() -> None:
    apart = drawn().closed().with_open(addition_of(FRAGRANCE, 40.0, apart=True))
    more = apart.with_open(addition_of(FRAGRANCE, 49.3, apart=True))
    assert more.apart_mg == mg(49.3)


def test_what_was_apart_is_tipped_into_the_pitcher_that_is_away() -> None:
    away = scented().closed().but(load=Load.NOTHING, apart_mg=mg(49.3), away_mg=mg(926.7))
    tipped = away.tipped()
    assert (tipped.apart_mg, tipped.away_mg) == (0, mg(976.0))
    assert tipped.in_pitcher_mg == mg(666.0)
    assert away.but(away_mg=None).tipped().away_mg is None


def test_only_a_vessel_on_the_pan_holds_its_own_fill() -> None:
    fill = addition_of(FILL, 150.0, vessel=1)
    assert Scene(Load.VESSEL, open=fill).in_container_mg == mg(150)
    assert Scene(Load.VESSEL).in_container_mg == 0
    assert Scene(Load.NOTHING, open=fill).in_container_mg == 0


def test_what_is_open_follows_the_resting_scale() -> None:
    rested = plateau(618.0, 5, 9)
    scene = drawn().at_rest(rested)
    assert scene.wax_mg == mg(618.0)
    assert scene.open is not None
    assert scene.open.rested == rested


def test_a_bare_pan_says_nothing_of_what_is_open() -> None:
    bare = drawn().but(load=Load.NOTHING)
    assert bare.at_rest(plateau(5.0)) is bare
    assert drawn().closed().at_rest(plateau(5.0)).wax_mg == mg(616.7)


def test_closing_keeps_an_addition_and_nothing_is_closed_twice() -> None:
    closed = drawn().closed()
    assert closed.open is None
    assert [each.key for each in closed.made] == [Key(WAX, 1)]
    assert closed.closed() is closed
    assert closed.latest() == closed.made[-1]


def test_an_addition_is_found_by_its_key_whether_open_or_not() -> None:
    scene = scented()
    assert [each.key.kind for each in scene.additions()] == [WAX, FRAGRANCE]
    fragrance = scene.find(Key(FRAGRANCE, 1))
    assert fragrance is scene.open
    assert scene.find(Key(WAX, 1)) is scene.made[0]
    assert scene.find(Key(WAX, 2)) is None
    assert scene.find(Key(FILL, 1, 1)) is None
    assert Scene().latest() is None


def test_the_next_pitcher_begins_with_nothing_in_it() -> None:
    done = scented().but(
        stage=Stage.POUR,
        filled=3,
        apart_mg=mg(2),
        away_mg=mg(340),
        scent_marked=True,
        lifted=Lifted(Load.VESSEL, mg(400), mg(220)),
    )
    after = done.turned()
    assert (after.pitcher, after.stage, after.filled) == (2, Stage.WAX, 3)
    assert (after.wax_mg, after.fragrance_mg, after.in_pitcher_mg) == (None, None, 0)
    assert (after.apart_mg, after.away_mg, after.away_at_mg) == (0, None, None)
    assert (after.open, after.scent_marked) == (None, False)
    assert after.lifted == done.lifted  # the last vessel may be put back to be looked at
    assert [each.key.pitcher for each in after.made] == [1, 1]
