"""The recent curve of one probe."""

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


def test_a_steady_probe_does_not_cool() -> None:
    probe = Thermometer()
    for second in range(120):
        probe.feed(Reading("p", second * SECOND, 82_000))
    assert probe.cooling(120 * SECOND, 22_000) is None
