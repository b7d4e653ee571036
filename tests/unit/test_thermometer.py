"""The recent curve of one probe."""

from collector.forecast import Why
from collector.readings import Quality, Reading
from collector.thermometer import FRESH_US, Thermometer

SECOND = 1_000_000


def test_a_temperature_is_the_latest_known_at_the_time() -> None:
    probe = Thermometer()
    for second, value in enumerate([82_000, 81_500, 81_000]):
        probe.feed(Reading("p", second * SECOND, value))
    assert probe.at(1_500_000) == 81_500
    assert probe.at(2 * SECOND) == 81_000
    assert probe.at(-1) is None


def test_an_old_temperature_says_nothing() -> None:
    probe = Thermometer()
    probe.feed(Reading("p", 0, 82_000))
    assert probe.at(FRESH_US) == 82_000
    assert probe.at(FRESH_US + 1) is None


def test_a_doubtful_reading_is_no_temperature() -> None:
    probe = Thermometer()
    probe.feed(Reading("p", 0, 85_000, Quality.SUSPECT))
    probe.feed(Reading("p", 1, 0, Quality.BAD))
    assert probe.at(2) is None


def falling(seconds: int, every_s: int = 1) -> Thermometer:
    probe = Thermometer()
    for second in range(0, seconds, every_s):
        probe.feed(Reading("p", second * SECOND, 84_000 - 15 * second))
    return probe


def test_a_steady_probe_does_not_cool() -> None:
    probe = Thermometer()
    for second in range(121):
        probe.feed(Reading("p", second * SECOND, 82_000))
    outlook = probe.outlook(120 * SECOND, 22_000)
    assert outlook is not None
    assert (outlook.why, outlook.mdegc_per_min) == (Why.STEADY, 0)
    assert outlook.until(80_000) is Why.STEADY


def test_a_probe_that_is_silent_has_no_outlook() -> None:
    assert Thermometer().outlook(0, None) is None
    assert falling(100).outlook(200 * SECOND, None) is None


def test_what_is_expected_does_not_depend_on_when_it_was_asked() -> None:
    often, once = falling(300), falling(300)
    for second in (299.0, 299.2, 299.9):
        often.outlook(round(second * SECOND), 22_000)
    late, early = often.outlook(299_950_000, 22_000), once.outlook(299_000_000, 22_000)
    assert late is not None
    assert early is not None
    assert late.at_us == early.at_us == 295 * SECOND
    assert late.until(75_000) == early.until(75_000)


def test_the_mean_of_a_probe_is_that_of_its_last_minute() -> None:
    # Slices from 40 s to 100 s are over: readings 40 to 99 of 84 - 0.015 t, mean at 69.5 s.
    assert falling(101).mean(100 * SECOND) == 84_000 - 1043
