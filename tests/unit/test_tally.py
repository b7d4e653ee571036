from collector.readings import Reading
from collector.service_events import ClockStepped, ReadingsLost
from collector.tally import COMMIT_S, Tally


def test_what_is_kept_is_counted_by_channel_and_kind() -> None:
    tally = Tally()
    lost = ReadingsLost(at_us=1, bench=None, lot=None, from_us=1, to_us=1, count=1)
    tally.kept([Reading("a", 1, 1), Reading("a", 2, 1), Reading("b", 1, 1)], [lost])
    tally.kept([Reading("b", 2, 1)], [])
    assert tally.readings == {"a": 2, "b": 2}
    assert tally.events == {"readings-lost": 1}
    assert tally.stored == 4


def test_commits_are_counted_by_how_long_they_took() -> None:
    tally = Tally()
    assert tally.age_s(9.0) is None
    tally.took(1.0, 1.005)  # the upper end belongs to the class
    tally.took(2.0, 2.5)
    tally.took(3.0, 33.0)
    assert sum(tally.commits) == 3
    assert tally.commits[COMMIT_S.index(0.5)] == 1
    assert tally.commits[-1] == 1
    assert abs(tally.commits_s - 30.505) < 1e-9
    assert tally.age_s(43.0) == 10.0


def test_steps_of_the_clock_are_counted_once_they_are_stored() -> None:
    tally = Tally()
    assert tally.steps == 0
    tally.kept([], [ClockStepped(at_us=2, bench=None, lot=None, by_us=1, since_us=1)])
    assert tally.steps == 1
