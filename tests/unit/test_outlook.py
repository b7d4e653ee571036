"""What a curve lets expect of a temperature window, and why where nothing."""

from collections.abc import Iterable

import pytest
from curves_made import cooling_curve, setting_curve

from collector.forecast import Span, Why
from collector.outlook import Outlook, window_ahead
from collector.readings import Reading
from collector.recipes import Window
from collector.thermometer import Thermometer

SECOND = 1_000_000
POUR = Window(57_000, 63_000)


def looked(points: Iterable[tuple[int, int]], room: int | None = 22_000) -> tuple[Outlook, int]:
    """The outlook at the last reading, and that reading."""
    probe, last, at_us = Thermometer(), 0, 0
    for second, last in points:
        at_us = second * SECOND
        probe.feed(Reading("p", at_us, last))
    outlook = probe.outlook(at_us, room)
    assert outlook is not None
    return outlook, last


def test_wax_above_a_window_is_told_when_it_opens_and_when_it_closes() -> None:
    outlook, mdegc = looked(cooling_curve(4e-4, 600))
    ahead = window_ahead(outlook, mdegc, POUR)
    assert ahead.opens is not None
    assert ahead.closes is not None
    # ln(62 / 41) / 4e-4 = 1034 s and ln(62 / 35) / 4e-4 = 1430 s after the start, 600 s ago
    assert ahead.opens.likely_us == pytest.approx((1034 - 595) * SECOND, rel=0.03)
    assert ahead.closes.likely_us == pytest.approx((1430 - 595) * SECOND, rel=0.03)
    assert ahead.why is None


def test_a_window_that_is_open_only_closes() -> None:
    outlook, mdegc = looked(cooling_curve(4e-4, 400, start=65.0))
    ahead = window_ahead(outlook, mdegc, POUR)
    assert (ahead.opens, ahead.why) == (None, None)
    assert ahead.closes is not None


def test_a_window_that_was_missed_does_not_open_by_itself() -> None:
    outlook, mdegc = looked(cooling_curve(4e-4, 600, start=60.0))
    ahead = window_ahead(outlook, mdegc, POUR)
    assert (ahead.opens, ahead.closes, ahead.why) == (None, None, Why.NEVER)


def test_wax_that_warms_opens_a_window_from_below() -> None:
    outlook, mdegc = looked((s, 50_000 + 20 * s) for s in range(201))
    ahead = window_ahead(outlook, mdegc, POUR)
    assert ahead.opens is not None
    assert ahead.closes is not None
    # 3 K at 1.2 K a minute
    assert ahead.opens.likely_us == pytest.approx(150 * SECOND, rel=0.1)
    assert outlook.mdegc_per_min == pytest.approx(1200, rel=0.02)


def test_wax_that_warms_above_a_window_does_not_come_back() -> None:
    outlook, mdegc = looked((s, 70_000 + 20 * s) for s in range(201))
    assert window_ahead(outlook, mdegc, POUR).why is Why.RISING


def test_wax_that_is_kept_warm_has_no_time() -> None:
    outlook, mdegc = looked((s, 75_000) for s in range(300))
    assert outlook.why is Why.STEADY
    assert window_ahead(outlook, mdegc, POUR) == window_ahead(outlook, mdegc, Window(0, 1))


def test_setting_wax_is_told_with_its_plateau_and_never_with_a_time() -> None:
    outlook, mdegc = looked(setting_curve(56.0))
    assert outlook.why is Why.SETTING
    assert outlook.setting_mdegc is not None
    assert 56_000 <= outlook.setting_mdegc <= 57_000
    ahead = window_ahead(outlook, mdegc, Window(48_000, 53_000))
    assert (ahead.opens, ahead.closes, ahead.why) == (None, None, Why.SETTING)


def test_once_wax_begins_to_set_a_window_below_gets_no_time_ever_again() -> None:
    """From one minute into the setting range; before, nothing tells it from any other wax."""
    points = list(setting_curve(56.0))
    onset = next(second for second, mdegc in points if mdegc < 57_000)
    probe, times = Thermometer(), []
    for second, mdegc in points:
        probe.feed(Reading("p", second * SECOND, mdegc))
        if second > onset + 60 and second % 5 == 0:
            outlook = probe.outlook(second * SECOND, 22_000)
            assert outlook is not None
            times.append(outlook.until(53_000))
    assert times
    assert not any(isinstance(time, Span) for time in times)


def test_no_steady_cooling_is_ever_called_slowing_or_setting() -> None:
    for rate, start in ((3e-4, 84.0), (9e-4, 92.0), (5e-4, 40.0)):
        probe = Thermometer()
        for second, mdegc in cooling_curve(rate, 1500, start):
            probe.feed(Reading("p", second * SECOND, mdegc))
            outlook = probe.outlook(second * SECOND, None) if second % 30 == 0 else None
            assert outlook is None or outlook.why not in {Why.SLOWING, Why.SETTING}
