"""Silent instruments and hot wax, whatever the lot is doing."""

from feed_script import PITCHER, POT, ROOM, SCALE, channels_of

from collector.alarm_book import AlarmBook
from collector.alarm_events import AlarmCleared, AlarmRaised
from collector.display import Display
from collector.events import AnyDerived
from collector.procedure import Where
from collector.readings import Channel, Quality, Reading, Role
from collector.recipes import Manner
from collector.service_events import InstrumentFound, InstrumentLost
from collector.watch import Heat, Watch

SECOND = 1_000_000
USUAL = Manner()


class Bench:
    """A watch with its book, fed second by second."""

    def __init__(self, never_above_mdegc: int | None = 93_000, manner: Manner = USUAL) -> None:
        channels = (*channels_of(SCALE, PITCHER, POT, ROOM), Channel("typed", "c", Role.ROOM, None))
        self.watch = Watch(channels, Heat(never_above_mdegc, manner), AlarmBook("1"), Display(), 0)
        self.events: list[AnyDerived] = []

    def tick(self, second: float) -> list[AnyDerived]:
        return self.watch.tick(Where(round(second * SECOND), "creek", "1"))

    def read(
        self, second: float, channel: str, value: int, quality: Quality = Quality.GOOD
    ) -> list[AnyDerived]:
        reading = Reading(channel, round(second * SECOND), value, quality)
        return self.watch.read(Where(reading.taken_us, "creek", "1"), reading)


def lost(second: int) -> InstrumentLost:
    return InstrumentLost(
        at_us=second * SECOND,
        bench="creek",
        lot=None,
        instrument=SCALE,
        reason="the port is gone",
        remedy="Plug it in.",
    )


def silent(events: list[AnyDerived]) -> list[str | None]:
    return [event.subject for event in events if isinstance(event, AlarmRaised)]


def test_a_channel_is_silent_after_its_own_patience() -> None:
    bench = Bench()
    for name in (PITCHER, POT, ROOM):
        bench.read(5, name, 20_000)
    assert silent(bench.tick(9.5)) == []
    assert silent(bench.tick(10)) == [SCALE]
    assert silent(bench.tick(10.5)) == []


def test_an_instrument_that_speaks_when_a_person_does_is_never_silent() -> None:
    assert "typed" not in silent(Bench().tick(10_000))


def test_a_reading_ends_the_silence_and_tells_how_long_it_was() -> None:
    bench = Bench()
    bench.tick(10)
    (event,) = bench.read(42, SCALE, 0)
    assert isinstance(event, AlarmCleared)
    assert event.outcome == "reading again after 42 s"


def test_a_reading_without_a_number_is_silence() -> None:
    bench = Bench()
    bench.read(9, SCALE, 0, Quality.BAD)
    assert SCALE in silent(bench.tick(10))


def test_a_lost_port_is_told_after_two_seconds_with_its_reason() -> None:
    bench = Bench()
    bench.watch.lose(lost(1))
    assert silent(bench.tick(2.5)) == []
    (alarm,) = bench.tick(3)
    assert isinstance(alarm, AlarmRaised)
    assert "the port is gone" in alarm.message
    assert alarm.advice == "Plug it in."


def test_a_port_found_again_in_time_was_a_loose_plug() -> None:
    bench = Bench()
    bench.watch.lose(lost(1))
    bench.watch.find(InstrumentFound(at_us=2, bench="creek", lot=None, instrument=SCALE))
    assert silent(bench.tick(4)) == []


def test_time_without_collection_is_nobody_s_silence() -> None:
    bench = Bench()
    bench.watch.resume(3600 * SECOND)
    assert silent(bench.tick(3609)) == []
    assert len(silent(bench.tick(3610))) == 4


def test_pot_and_pitcher_are_watched_for_heat_and_the_room_is_not() -> None:
    bench = Bench()
    raised = []
    for second in range(5):
        for name in (PITCHER, POT, ROOM):
            raised += bench.read(second, name, 95_000)
    assert [event.subject for event in raised if isinstance(event, AlarmRaised)] == [PITCHER, POT]


def test_without_a_limit_no_heat_is_too_much() -> None:
    bench = Bench(never_above_mdegc=None)
    assert [event for s in range(9) for event in bench.read(s, POT, 200_000)] == []


def test_a_recipe_may_give_the_wax_s_limit_another_deadband_and_other_delays() -> None:
    manner = Manner(deadband=3_000, on_delay_us=10 * SECOND, off_delay_us=0)
    bench = Bench(manner=manner)
    found = [event for second in range(10) for event in bench.read(second, POT, 94_000)]
    assert not found
    (raised,) = bench.read(10, POT, 94_000)
    assert isinstance(raised, AlarmRaised)
    assert bench.read(11, POT, 90_100) == []
    (cleared,) = bench.read(12, POT, 89_900)
    assert isinstance(cleared, AlarmCleared)
