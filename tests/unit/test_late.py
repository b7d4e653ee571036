from collector.late import LAG_US, LONGEST_US, QUIET_US, LateRuns
from collector.service_events import ReadingsCameLate

NOW_US = 1_795_600_000_000_000
HOUR_US = 3_600_000_000


def test_a_run_is_told_when_nothing_comes_late_any_more() -> None:
    runs = LateRuns()
    for place in range(3):
        runs.add("east", NOW_US - HOUR_US + place, NOW_US + place)
    assert runs.over(NOW_US + 2 + QUIET_US - 1) == []
    assert runs.over(NOW_US + 2 + QUIET_US) == ["east"]
    run = runs.take("east")
    assert run is not None
    assert run.told("east", "1", 5) == ReadingsCameLate(
        at_us=5,
        bench="east",
        lot="1",
        from_us=NOW_US - HOUR_US,
        to_us=NOW_US - HOUR_US + 2,
        count=3,
    )
    assert runs.take("east") is None
    assert runs.over(NOW_US + HOUR_US) == []


def test_a_run_without_an_end_is_told_from_time_to_time() -> None:
    runs = LateRuns()
    for second in range(61):
        runs.add("east", NOW_US - HOUR_US, NOW_US + second * 1_000_000)
    assert runs.over(NOW_US + LONGEST_US) == ["east"]


def test_each_bench_has_its_own() -> None:
    runs = LateRuns()
    runs.add("east", NOW_US - HOUR_US, NOW_US)
    runs.add("west", NOW_US - HOUR_US, NOW_US + 1)
    assert runs.over(NOW_US + QUIET_US) == ["east"]


def test_a_reading_that_was_only_just_overtaken_is_told_too() -> None:
    runs = LateRuns()
    runs.add("east", NOW_US - LAG_US + 1, NOW_US)
    assert runs.take("east") is not None


def test_a_reading_of_the_future_is() -> None:
    runs = LateRuns()
    runs.add("east", NOW_US + HOUR_US, NOW_US)
    assert runs.take("east") is not None


def test_a_run_in_which_the_clock_went_back_is_told_at_once() -> None:
    runs = LateRuns()
    runs.add("east", NOW_US - 3 * HOUR_US, NOW_US)
    assert runs.over(NOW_US - HOUR_US) == ["east"]
