"""How long a stir can have lasted, from what the scale does."""

from collector.scene import Load
from collector.stirring import Glimpse, Stirred, StirWatch
from collector.weighings import Scale

SECOND = 1_000_000


def feed(
    watch: StirWatch, span: tuple[int, int], scale: Scale, load: Load, *, pitcher_seen: bool = True
) -> list[Stirred]:
    """Feed a state once a second, `span` seconds from and to."""
    seen = [
        watch.feed(Glimpse(second * SECOND, scale, load, pitcher_seen))
        for second in range(span[0] + 1, span[1] + 1)
    ]
    return [item for item in seen if item is not None]


def test_a_pitcher_at_rest_on_the_scale_is_not_stirred() -> None:
    watch = StirWatch(0)
    assert not feed(watch, (0, 100), Scale.RESTING, Load.PITCHER)
    assert watch.possible_us == 0


def test_a_pitcher_away_from_the_scale_may_be_stirred_all_the_time() -> None:
    watch = StirWatch(0)
    feed(watch, (0, 100), Scale.RESTING, Load.NOTHING)
    assert watch.possible_us == 100 * SECOND


def test_where_no_pitcher_ever_showed_rest_says_nothing() -> None:
    watch = StirWatch(0)
    feed(watch, (0, 100), Scale.RESTING, Load.PITCHER, pitcher_seen=False)
    assert watch.possible_us == 100 * SECOND


def test_unrest_is_stirring_once_it_lasts_and_until_it_stops() -> None:
    watch = StirWatch(0)
    assert feed(watch, (0, 8), Scale.MOVING, Load.PITCHER) == []
    assert feed(watch, (8, 60), Scale.MOVING, Load.PITCHER) == [Stirred(SECOND, None)]
    assert feed(watch, (60, 70), Scale.RESTING, Load.PITCHER) == [Stirred(SECOND, 60 * SECOND)]


def test_lifting_the_pitcher_ends_a_stir_on_the_scale() -> None:
    watch = StirWatch(0)
    feed(watch, (0, 30), Scale.MOVING, Load.PITCHER)
    assert feed(watch, (30, 31), Scale.RESTING, Load.NOTHING) == [Stirred(SECOND, 30 * SECOND)]


def test_setting_the_pitcher_down_is_no_stirring() -> None:
    watch = StirWatch(0)
    assert feed(watch, (0, 5), Scale.MOVING, Load.PITCHER) == []
    assert feed(watch, (5, 60), Scale.RESTING, Load.PITCHER) == []


def test_a_gap_in_the_readings_counts_for_two_seconds_at_most() -> None:
    watch = StirWatch(0)
    watch.feed(Glimpse(100 * SECOND, Scale.RESTING, Load.NOTHING))
    assert watch.possible_us == 2 * SECOND


def test_a_pour_right_after_the_lift_leaves_no_time_to_stir() -> None:
    watch = StirWatch(0)
    feed(watch, (0, 40), Scale.MOVING, Load.PITCHER)
    feed(watch, (40, 50), Scale.RESTING, Load.PITCHER)
    feed(watch, (50, 100), Scale.RESTING, Load.NOTHING)
    assert watch.possible_by(56 * SECOND) == 40 * SECOND  # lifted at 51 s, poured 5 s later
    assert watch.possible_by(57 * SECOND) == watch.possible_us == 90 * SECOND


def test_a_pitcher_that_never_showed_may_have_been_stirred_until_the_pour_is_seen() -> None:
    watch = StirWatch(0)
    feed(watch, (0, 50), Scale.RESTING, Load.PITCHER, pitcher_seen=False)
    feed(watch, (50, 100), Scale.RESTING, Load.NOTHING, pitcher_seen=False)
    assert watch.possible_by(52 * SECOND) == 100 * SECOND


def test_only_the_latest_lift_of_the_pitcher_counts_for_a_pour() -> None:
    watch = StirWatch(0)
    feed(watch, (0, 60), Scale.RESTING, Load.NOTHING)
    feed(watch, (60, 70), Scale.RESTING, Load.PITCHER)
    feed(watch, (70, 90), Scale.RESTING, Load.NOTHING)
    assert watch.possible_by(74 * SECOND) == 60 * SECOND
