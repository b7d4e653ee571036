"""The temperature window that matters now: when it opens and closes, how far fragrance cools."""

from typing import Literal

import msgspec
from msgspec.structs import replace

from collector.advice import WaxNow, chilled, no_forecast, wait
from collector.chill import Chill, chill
from collector.display import duration
from collector.forecast import Span, Why
from collector.lot_run import LotRun
from collector.outlook import Ahead, window_ahead
from collector.recipes import Window
from collector.thermometer import ROOM_MDEGC

Purpose = Literal["add", "pour"]

SETS_BELOW_MDEGC = 82_000
"""No candle wax melts above this: encyclopedias give soy 49 to 82 °C, paraffin 46 to 68."""


class TemperatureTask(msgspec.Struct, frozen=True):
    """The temperature that matters now, its window (0.001 °C) and what it is the window of.

    `ahead` counts from `forecast_us`; both, and the trend in 0.001 °C per minute, are None where
    there is no window or no thermometer. `why` says in words why a time is missing.
    """

    channel: str
    what: Purpose | None
    window: Window | None
    forecast_us: int | None = None
    ahead: Ahead | None = None
    trend_mdegc_per_min: int | None = None
    why: str | None = None


def foreseen(run: LotRun, task: TemperatureTask | None, now_us: int) -> TemperatureTask | None:
    """Add to the temperature that matters when its window opens and closes."""
    if task is None or task.window is None:
        return task
    wax = run.heat.wax_now(now_us)
    if wax.outlook is None or wax.mdegc is None:
        return replace(task, why=no_forecast(Why.NO_PROBE, None, run.display))
    ahead = window_ahead(wax.outlook, wax.mdegc, task.window)
    words = None
    if ahead.why is not None:
        words = no_forecast(*reason(run, wax, ahead.why), run.display)
    return replace(
        task,
        forecast_us=wax.outlook.at_us,
        ahead=ahead,
        trend_mdegc_per_min=wax.outlook.mdegc_per_min,
        why=words,
    )


def reason(run: LotRun, wax: WaxNow, why: Why) -> tuple[Why, int | None]:
    """Return why there is no time, and the plateau.

    What rests where fragrance is added is kept warm there: no wax sets so hot.
    """
    setting = wax.outlook.setting_mdegc if wax.outlook is not None else None
    window = run.recipe.fragrance.add_between
    hottest = SETS_BELOW_MDEGC if window is None else window.low_mdegc
    if why is Why.SETTING and setting is not None and setting >= hottest:
        return Why.STEADY, None
    return why, setting


def _chill(run: LotRun, wax_mdegc: int, fragrance_mg: int, now_us: int) -> Chill:
    """Return how far the fragrance of this pitcher will cool it."""
    room = run.heat.room_mdegc(now_us)
    pitcher_mg = run.recognizer.scene.masses.pitcher_mg
    here = ROOM_MDEGC if room is None else room
    return chill(run.progress.drawn_mg, fragrance_mg, pitcher_mg, wax_mdegc, here)


def chilling(run: LotRun, wax: WaxNow, fragrance_mg: int, now_us: int) -> str:
    """Say how far the fragrance will cool the wax, and where that ends below the window."""
    window = run.recipe.fragrance.add_between
    if wax.mdegc is None:
        return ""
    cooler = _chill(run, wax.mdegc, fragrance_mg, now_us)
    words = f" {chilled(cooler, run.display)}"
    if window is None or wax.mdegc - cooler.least_mdegc >= window.low_mdegc:
        return words
    return f"{words} That ends below {run.display.degrees(window.low_mdegc)}."


def opening(wax: WaxNow, window: Window) -> Span | None:
    """Return how long from `wax.at_us` on until a window opens; None where it will not."""
    if wax.mdegc is None or wax.outlook is None:
        return None
    opens = window_ahead(wax.outlook, wax.mdegc, window).opens
    return opens.later(wax.at_us - wax.outlook.at_us) if opens is not None else None


def pouring_late(run: LotRun, wax: WaxNow) -> str:
    """Warn while pouring where the last vessels of this pitcher may not be filled in time."""
    window, each_us = run.recipe.pour_between, run.vessel_us
    if window is None or each_us is None or wax.mdegc is None or wax.outlook is None:
        return ""
    closes = window_ahead(wax.outlook, wax.mdegc, window).closes
    if closes is None:
        return ""
    closes = closes.later(wax.at_us - wax.outlook.at_us)
    left_us = each_us * (run.progress.vessels_due(run.progress.pitcher) - run.progress.filled)
    if closes.likely_us >= left_us:
        return ""
    return (
        f" The window closes in {wait(closes)}, the last vessel takes {duration(left_us)}: hurry."
    )


def closing(wax: WaxNow, window: Window) -> str:
    """Say when an open window closes, by cooling or by warming."""
    if wax.mdegc is None or wax.outlook is None:
        return ""
    closes = window_ahead(wax.outlook, wax.mdegc, window).closes
    if closes is None:
        return ""
    return f" The window closes in {wait(closes.later(wax.at_us - wax.outlook.at_us))}."
