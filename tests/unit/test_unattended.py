"""A pot left hot: what counts as a sign of a person, and what the bench says without one.

The bound of 40 minutes and 60 °C is common practice without a source.
"""

import pytest
from feed_script import NOON_US, PITCHER, POT, SCALE, channels_of
from stranger_round import AMBER

from collector.alarm_events import AlarmCleared, AlarmRaised
from collector.answer_events import AlarmAcknowledged
from collector.attendance import Unattended
from collector.bench import Bench, Tick
from collector.display import Display
from collector.events import AnyDerived, AnyGiven
from collector.lot_events import LotOpened, PhaseMarked
from collector.note_events import NoteWritten, PhotographKept
from collector.phases import Edge, Phase
from collector.readings import Channel, Reading, Role
from collector.replay import derived_of, first_difference, replay
from collector.service_events import ClockFoundOff, InstrumentFound

SECOND = 1_000_000
USUAL = Unattended()
TYPED_ROOM = Channel("room-by-eye", "creek", Role.ROOM, None)
CHANNELS = (*channels_of(SCALE, PITCHER, POT), TYPED_ROOM)


class Workplace:
    """A bench whose pot, pitcher and scale are read every five seconds."""

    def __init__(self, unattended: Unattended | None = USUAL) -> None:
        self.unattended = unattended
        self.bench = Bench("creek", CHANNELS, Display(), NOON_US, unattended)
        self.second = 0
        self.grams, self.pot_c, self.pitcher_c = 0.0, 84.0, 22.0
        self.fed: list[Reading | AnyGiven] = []
        self.events: list[AnyDerived] = []

    @property
    def now_us(self) -> int:
        return NOON_US + self.second * SECOND

    def wait(self, minutes: float) -> None:
        for _ in range(round(minutes * 12)):
            self.second += 5
            values = {SCALE: self.grams, POT: self.pot_c, PITCHER: self.pitcher_c}
            for place, (name, value) in enumerate(values.items()):
                self.feed(Reading(name, self.now_us + place, round(value * 1000)))

    def feed(self, item: Reading | AnyGiven) -> None:
        self.fed.append(item)
        self.events += self.bench.feed(item)

    def open(self) -> None:
        self.second += 1
        opened = LotOpened(
            at_us=self.now_us,
            bench="creek",
            lot="1",
            recipe=AMBER,
            vessels=2,
            channels=CHANNELS,
            unattended=self.unattended,
        )
        self.feed(opened)

    def raised(self) -> list[AlarmRaised]:
        return [event for event in self.events if isinstance(event, AlarmRaised)]

    def outcomes(self) -> list[str]:
        return [event.outcome for event in self.events if isinstance(event, AlarmCleared)]


def test_a_pot_left_hot_between_lots_is_told_after_its_time_and_once() -> None:
    place = Workplace()
    place.wait(39.9)
    assert not place.raised()
    place.wait(90)
    (alarm,) = place.raised()
    assert (alarm.rule, alarm.subject, alarm.measured) == ("unattended-heat", POT, 84_000)
    assert alarm.limit.high == 60_000
    assert "84.0 °C" in alarm.message
    assert "about 40 min" in alarm.message


def test_the_time_begins_when_the_pot_becomes_hot() -> None:
    place = Workplace()
    place.pot_c = 59.9
    place.wait(60)
    place.pot_c = 60.0
    place.wait(39)
    assert not place.raised()
    place.wait(2)
    assert len(place.raised()) == 1


def test_a_pitcher_that_stands_hot_is_not_a_pot() -> None:
    place = Workplace()
    place.pot_c, place.pitcher_c = 22.0, 84.0
    place.wait(90)
    assert not place.raised()


def test_a_workshop_may_do_without() -> None:
    place = Workplace(unattended=None)
    place.wait(90)
    assert not place.raised()


def test_a_pot_whose_probe_is_silent_is_not_judged() -> None:
    place = Workplace()
    place.wait(30)
    for minute in range(31, 60):
        place.events += place.bench.feed(Tick(NOON_US + minute * 60 * SECOND))
    assert {alarm.rule for alarm in place.raised()} == {"instrument-silent"}


def given_at(place: Workplace, sign: str) -> None:
    """Let a person do something at the bench."""
    place.second += 1
    at_us = place.now_us
    signs: dict[str, Reading | AnyGiven] = {
        "a mark": PhaseMarked(
            at_us=at_us, bench="creek", lot="1", phase=Phase.STIR, edge=Edge.BEGIN
        ),
        "an acknowledgement": AlarmAcknowledged(at_us=at_us, bench="creek", lot="1", alarm="1.1"),
        "a note": NoteWritten(at_us=at_us, bench="creek", lot="1", note="n1", text="still hot"),
        "a photograph": PhotographKept(
            at_us=at_us,
            bench="creek",
            lot="1",
            photograph="p1",
            digest="ab" * 32,
            media_type="image/jpeg",
            size=1,
            width=None,
            height=None,
        ),
        "a typed reading": Reading(TYPED_ROOM.name, at_us, 21_000),
        "a step on the scale": Reading(SCALE, at_us, 500_000),
    }
    place.feed(signs[sign])


def test_a_clock_that_was_found_off_is_no_sign_of_a_person() -> None:
    place = Workplace()
    place.open()
    place.wait(30)
    place.second += 1
    place.feed(ClockFoundOff(at_us=place.now_us, bench="creek", lot="1", by_us=3600 * SECOND))
    place.wait(10.1)
    assert [alarm.rule for alarm in place.raised()] == ["unattended-heat"]


SIGNS = (
    *("a mark", "an acknowledgement", "a note", "a photograph"),
    *("a typed reading", "a step on the scale"),
)


@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_of_a_person_begins_the_time_afresh(sign: str) -> None:
    place = Workplace()
    place.open()
    place.wait(30)
    given_at(place, sign)
    place.grams = 500.0 if sign == "a step on the scale" else 0.0
    place.wait(35)
    assert "unattended-heat" not in [alarm.rule for alarm in place.raised()]


@pytest.mark.parametrize("sign", SIGNS)
def test_the_next_sign_clears_the_alarm(sign: str) -> None:
    place = Workplace()
    place.open()
    place.wait(41)
    assert [alarm.rule for alarm in place.raised()] == ["unattended-heat"]
    given_at(place, sign)
    assert place.outcomes() == ["somebody is there"]


def test_a_scale_that_drifts_and_a_plug_found_again_are_no_person() -> None:
    place = Workplace()
    place.open()
    for _ in range(41):
        place.grams += 4.0  # 4 g a minute, 164 g in all
        place.wait(1)
    found = InstrumentFound(at_us=place.now_us + 10, bench="creek", lot="1", instrument=SCALE)
    place.feed(found)
    assert [alarm.rule for alarm in place.raised()] == ["unattended-heat"]
    assert not place.outcomes()


def test_a_pot_that_cooled_clears_the_alarm_and_a_flicker_at_the_bound_does_not() -> None:
    place = Workplace()
    place.wait(41)
    place.pot_c = 59.5
    place.wait(1)
    assert not place.outcomes()
    place.pot_c = 58.9
    place.wait(1)
    assert place.outcomes() == ["cooled to 58.9 °C"]


def test_what_concerns_another_lot_is_no_sign_here_so_that_a_replay_judges_the_same() -> None:
    place = Workplace()
    place.open()
    place.wait(20)
    other = AlarmAcknowledged(at_us=place.now_us + 10, bench="creek", lot="0", alarm="0.1")
    place.events += place.bench.feed(other)
    place.wait(25)
    assert [alarm.rule for alarm in place.raised()] == ["unattended-heat"]
    assert_replays(place)


@pytest.mark.parametrize("sign", ["a note", "a photograph"])
def test_a_replay_counts_what_was_written_and_photographed_as_the_bench_did(sign: str) -> None:
    place = Workplace()
    place.open()
    place.wait(30)
    given_at(place, sign)
    place.wait(30)
    assert "unattended-heat" not in [alarm.rule for alarm in place.raised()]
    place.wait(11)
    given_at(place, sign)
    place.wait(1)
    assert place.outcomes() == ["somebody is there"]
    assert_replays(place)


def test_a_note_about_another_lot_is_no_sign_of_a_person() -> None:
    place = Workplace()
    place.open()
    place.wait(20)
    place.events += place.bench.feed(
        NoteWritten(at_us=place.now_us + 10, bench="creek", lot="0", note="n1", text="sold out")
    )
    place.wait(25)
    assert [alarm.rule for alarm in place.raised()] == ["unattended-heat"]
    assert_replays(place)


def assert_replays(place: Workplace) -> None:
    journal = [item for item in place.fed if not isinstance(item, Reading)]
    readings = [item for item in place.fed if isinstance(item, Reading)]
    assert first_difference(derived_of(place.events), replay(journal, readings)[1]) is None
