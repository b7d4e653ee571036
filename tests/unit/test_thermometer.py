"""The recent curve of one probe."""

import pytest

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


DROP_S, SCENTED_S, ROOM_MDEGC = 40, 60, 22_000


def scented(until_s: int) -> Thermometer:
    """A melt that falls by 1.2 °C a minute, and by 4 °C within 40 s while fragrance goes in."""
    probe = Thermometer()
    for second in range(until_s):
        dropped = min(max(second - SCENTED_S, 0), DROP_S) * 100
        probe.feed(Reading("p", second * SECOND, 85_000 - 20 * second - dropped))
    return probe


@pytest.mark.parametrize("after_s", [20, 40, 60])
def test_how_fragrance_cools_the_wax_is_not_how_it_cools_by_itself(after_s: int) -> None:
    settled_s = SCENTED_S + DROP_S
    now_us = (settled_s + after_s) * SECOND
    probe = scented(settled_s + after_s)
    outlook = probe.outlook(now_us, ROOM_MDEGC, settled_s * SECOND)
    assert outlook is not None
    rate = outlook.mdegc_per_min
    assert outlook.why is Why.TOO_SHORT or (rate is not None and -1_500 < rate < -900)


def test_a_minute_after_the_fragrance_its_drop_does_not_look_like_setting() -> None:
    settled_s = SCENTED_S + DROP_S
    for after_s in (90, 120, 180, 240):
        probe = scented(settled_s + after_s)
        now_us = (settled_s + after_s) * SECOND
        outlook = probe.outlook(now_us, ROOM_MDEGC, settled_s * SECOND)
        assert outlook is not None
        assert outlook.why is None, after_s
