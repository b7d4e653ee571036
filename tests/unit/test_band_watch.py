"""A running lot against the band of good lots: said once, taken back, folded, and replayed."""

from collections.abc import Sequence

import msgspec
import pytest
from feed_script import PITCHER, Script
from stranger_moves import draw_untared, fill_untared, leave, scent_on_top
from stranger_round import AMBER, Plan, Round

from collector.alarm_events import AlarmCleared, AlarmFolded, AlarmRaised, Bounds
from collector.band import Anchor, Band, Stretch
from collector.band_watch import PATIENCE_US, bounds_at
from collector.display import Display
from collector.event_base import Event
from collector.events import decode, encode
from collector.lot_events import LotOpened
from collector.priorities import Priority
from collector.recipes import Recipe
from collector.replay import first_difference, replay

S = 1_000_000


def level(anchor: Anchor, celsius: float, steps: int = 60) -> Stretch:
    """A stretch a degree to either side of one temperature."""
    low, high = round(celsius * 1000) - 1000, round(celsius * 1000) + 1000
    return Stretch(anchor, 10, (low,) * steps, (high,) * steps)


BAND = Band(("a", "b", "c"), (level(Anchor.SCENTED, 82.0), level(Anchor.POURING, 60.0)))


class BandScript(Script):
    """A script whose lot is opened with a band."""

    def open_with(self, band: Band | None, recipe: Recipe = AMBER, vessels: int = 1) -> None:
        self._give(
            LotOpened(
                at_us=self.now_us,
                bench="creek",
                lot="1",
                recipe=recipe,
                vessels=vessels,
                channels=self.channels,
                band=band,
            )
        )


def scented(band: Band | None = BAND, add_c: float = 82.0) -> tuple[BandScript, Round]:
    """A lot whose fragrance is in, at the temperature of good lots unless told otherwise."""
    script = BandScript()
    script.open_with(band)
    script.hold(3)
    now = Round(script, Plan(vessels=1))
    script.celsius[PITCHER] = add_c
    script.hold(2)
    draw_untared(now)
    scent_on_top(now)
    script.hold(5)
    return script, now


def off_band(script: Script) -> list[AlarmRaised]:
    return [e for e in script.events if isinstance(e, AlarmRaised) and e.rule == "off-band"]


def outcomes(script: Script, alarm: AlarmRaised) -> list[str]:
    cleared = (event for event in script.events if isinstance(event, AlarmCleared))
    return [event.outcome for event in cleared if event.alarm == alarm.alarm]


def test_leaving_the_band_is_said_once_and_quietly() -> None:
    script, _now = scented()
    script.celsius[PITCHER] = 78.6
    left_us = script.now_us
    script.hold(60)
    (alarm,) = off_band(script)
    assert alarm.priority is Priority.LOW
    assert alarm.message == "The wax is 2.4 °C under what good lots had at this moment."
    assert alarm.limit == Bounds(81_000, 83_000)
    assert alarm.at_us - left_us == pytest.approx(PATIENCE_US, abs=2 * S)


def test_a_short_visit_outside_is_not_said() -> None:
    script, _now = scented()
    script.celsius[PITCHER] = 78.0
    script.hold(15)
    script.celsius[PITCHER] = 82.0
    script.hold(60)
    assert not off_band(script)


def test_what_is_back_for_as_long_is_cleared_and_not_said_again_in_this_stretch() -> None:
    script, _now = scented()
    script.celsius[PITCHER] = 85.0
    script.hold(40)
    script.celsius[PITCHER] = 82.0
    script.hold(15)
    (alarm,) = off_band(script)
    assert outcomes(script, alarm) == []
    script.hold(15)
    assert outcomes(script, alarm) == ["back among good lots at 82.0 °C"]
    script.celsius[PITCHER] = 85.0
    script.hold(60)
    assert len(off_band(script)) == 1


def test_the_next_step_clears_it_and_may_say_it_again() -> None:
    script, now = scented()
    script.celsius[PITCHER] = 80.0
    script.hold(40)
    script.celsius[PITCHER] = 58.0  # inside the window of the pour, outside the band
    leave(now)
    fill_untared(now, 1)
    first = off_band(script)[0]
    assert outcomes(script, first) == ["the next step began: pour began"]


def test_a_lot_that_takes_longer_than_any_good_lot_is_not_judged() -> None:
    short = Band(("a",), (level(Anchor.SCENTED, 82.0, steps=2),))
    script, _now = scented(short)
    script.hold(15)
    script.celsius[PITCHER] = 70.0
    script.hold(60)
    assert not off_band(script)


def test_without_a_band_nothing_is_said() -> None:
    script, _now = scented(None)
    script.celsius[PITCHER] = 60.0
    script.hold(60)
    assert not off_band(script)


def test_a_probe_that_says_nothing_is_not_outside() -> None:
    script, _now = scented()
    script.silent.add(PITCHER)
    script.celsius[PITCHER] = 60.0
    script.hold(60)
    assert not off_band(script)


def test_another_alarm_about_the_same_wax_tells_it_alone() -> None:
    low = AMBER.fragrance.add_between
    assert low is not None
    script, _now = scented(add_c=low.low_mdegc / 1000 - 5)
    script.hold(60)
    assert [alarm.rule for alarm in script.deviations()] == ["fragrance-temperature"]
    assert not off_band(script)


def test_an_alarm_that_comes_later_takes_it_in() -> None:
    script, _now = scented()
    script.celsius[PITCHER] = 86.0
    script.hold(40)
    (alarm,) = off_band(script)
    limit = AMBER.wax.never_above_mdegc
    assert limit is not None
    script.celsius[PITCHER] = limit / 1000 + 2
    script.hold(10)
    folded = [event for event in script.events if isinstance(event, AlarmFolded)]
    assert [event.alarm for event in folded] == [alarm.alarm]
    assert [deviation.rule for deviation in script.deviations()] == ["over-temperature"]


def test_a_replay_with_its_band_is_the_same_byte_for_byte() -> None:
    script, now = scented()
    script.celsius[PITCHER] = 79.0
    script.hold(40)
    script.celsius[PITCHER] = 60.0
    leave(now)
    fill_untared(now, 1)
    script.close()
    assert off_band(script)
    journal: Sequence[Event] = [decode(encode(event)) for event in script.journal()]
    assert first_difference(script.events, replay(journal, script.readings())[1]) is None
    opened = journal[0]
    assert isinstance(opened, LotOpened)
    bandless = [msgspec.structs.replace(opened, band=None), *journal[1:]]
    assert first_difference(script.events, replay(bandless, script.readings())[1]) is not None


def test_between_two_steps_the_band_is_a_straight_line() -> None:
    stretch = Stretch(Anchor.DRAWN, 10, (80_000, 79_000), (84_000, 82_000))
    assert bounds_at(stretch, 0) == Bounds(80_000, 84_000)
    assert bounds_at(stretch, 5 * S) == Bounds(79_500, 83_000)
    assert bounds_at(stretch, 10 * S) == Bounds(79_000, 82_000)
    assert bounds_at(stretch, 10 * S + 1) is None
    assert bounds_at(stretch, -1) is None


def test_a_difference_is_written_in_the_workshops_unit() -> None:
    assert Display().apart(2_400) == "2.4 °C"
    assert Display(temperature="degF").apart(2_500) == "4.5 °F"  # 9/5 of it, no offset
