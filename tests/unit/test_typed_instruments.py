"""A bench without leads: a person reads the displays and types what they show."""

import pytest
from stranger_round import AMBER

from collector.alarm_events import AlarmRaised
from collector.bench import Bench
from collector.conclusions import WeighingAccepted, WeighingKind
from collector.display import Display
from collector.events import AnyDerived
from collector.lot_events import LotClosed, LotOpened
from collector.readings import Channel, Reading, Role

NOON_US = 1_764_072_000_000_000
MINUTE_US = 60_000_000
CHANNELS = (
    Channel("display", "creek", Role.SCALE, None),
    Channel("stick", "creek", Role.PITCHER, None),
    Channel("dial", "creek", Role.POT, None),
)


class TypedBench:
    """A bench at which something is typed every minute."""

    def __init__(self, vessels: int) -> None:
        self.bench = Bench("creek", CHANNELS, Display(), NOON_US)
        self.now_us = NOON_US
        self.events: list[AnyDerived] = []
        self.events += self.bench.feed(
            LotOpened(
                at_us=self._later(),
                bench="creek",
                lot="1",
                recipe=AMBER,
                vessels=vessels,
                channels=CHANNELS,
            )
        )

    def type(self, channel: str, number: float) -> None:
        self.events += self.bench.feed(Reading(channel, self._later(), round(number * 1000)))

    def close(self) -> None:
        self.events += self.bench.feed(LotClosed(at_us=self._later(), bench="creek", lot="1"))

    def rules(self) -> list[str]:
        return [event.rule for event in self.events if isinstance(event, AlarmRaised)]

    def _later(self) -> int:
        self.now_us += MINUTE_US
        return self.now_us


def test_a_display_typed_at_each_step_gives_the_weighings_of_the_lot() -> None:
    typed = TypedBench(vessels=2)
    # (2 x 220 + 6) / 1.08 = 412.96 g of wax; 8 % of the 413.0 g drawn is 33.04 g
    for shown in (0, 413.0, 0, 33.0, 0, 219.6, 0, 220.4, 0):
        typed.type("display", shown)
    weighed = [event for event in typed.events if isinstance(event, WeighingAccepted)]
    assert [(w.kind, w.vessel, w.mass_mg) for w in weighed] == [
        (WeighingKind.WAX, None, 413_000),
        (WeighingKind.FRAGRANCE, None, 33_000),
        (WeighingKind.FILL, 1, 219_600),
        (WeighingKind.FILL, 2, 220_400),
    ]
    assert all(w.evidence.readings == 2 for w in weighed)


@pytest.mark.parametrize("tares", [True, False])
@pytest.mark.parametrize("pitcher", [230.0, 290.0, 350.0, 500.0])
def test_an_empty_pitcher_that_is_typed_as_well_is_no_wax(pitcher: float, tares: bool) -> None:
    typed = TypedBench(vessels=2)
    typed.type("display", 0)
    typed.type("display", pitcher)
    drawn = (0, 413.0, 0) if tares else (pitcher + 413.0, 0)
    for shown in (*drawn, 33.0, 0, 219.6, 0, 220.4, 0):
        typed.type("display", shown)
    typed.close()
    weighed = [event for event in typed.events if isinstance(event, WeighingAccepted)]
    last = {(w.kind, w.vessel): w.mass_mg for w in weighed}
    assert last == {
        (WeighingKind.WAX, None): 413_000,
        (WeighingKind.FRAGRANCE, None): 33_000,
        (WeighingKind.FILL, 1): 219_600,
        (WeighingKind.FILL, 2): 220_400,
    }
    assert "wax-grams" not in typed.rules()


def test_a_typed_lot_is_judged_like_any_other() -> None:
    typed = TypedBench(vessels=2)
    for channel, shown in (("display", 413.0), ("display", 0), ("stick", 76.0)):
        typed.type(channel, shown)
    for shown in (33.0, 0, 214.0, 0):
        typed.type("display", shown)
    typed.close()
    assert typed.rules()[0] == "fragrance-temperature"
    assert "fill-grams" in typed.rules()
    assert typed.rules()[-1] == "skipped-phase"  # one vessel of two


@pytest.mark.parametrize("channel", ["dial", "stick"])
def test_one_typed_value_above_the_limit_is_an_alarm_at_once(channel: str) -> None:
    typed = TypedBench(vessels=2)
    typed.type(channel, 92.5)
    assert typed.rules() == []
    typed.type(channel, 97.0)
    assert typed.rules() == ["over-temperature"]
