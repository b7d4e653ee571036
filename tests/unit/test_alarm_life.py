"""A bench and what its journal tells of it never disagree about an alarm, whatever happens.

Random days at one bench: the pot heats and cools, its thermometer fails, and a person does what
the service lets her do. What the service refuses must leave no trace.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import msgspec
import pytest
from feed_script import NOON_US, PITCHER, POT, SCALE, channels_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from stranger_round import AMBER

from collector.alarm_ledger import AlarmLedger
from collector.alarms import VIOLATED, Alarm, AlarmMove, AlarmState, Shown
from collector.answer_events import (
    AlarmAcknowledged,
    AlarmReset,
    AlarmShelved,
    AlarmUnshelved,
    RulePutBack,
    RuleTakenOut,
)
from collector.bench import Bench, Input, Tick
from collector.display import Display
from collector.errors import ConflictError
from collector.event_base import Event
from collector.events import AnyGiven, decode, encode
from collector.lot_events import LotClosed, LotOpened
from collector.readings import Quality, Reading
from collector.recipes import Manner
from collector.replay import derived_of, replay

SECOND = 1_000_000
HOT, COOL, BAD, NOTHING = 95_000, 85_000, -1, None
RULES = ("over-temperature", "instrument-silent")
LATCHING = msgspec.structs.replace(AMBER, manners={"over-temperature": Manner(latched=True)})


@dataclass
class Day:
    """A bench in the hands of a person who presses every key there is."""

    latching: bool = False
    now_us: int = NOON_US
    lots: int = 0
    inputs: list[Input] = field(default_factory=list)
    journal: list[Event] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.channels = channels_of(SCALE, PITCHER, POT)
        self.bench = Bench("creek", self.channels, Display(), NOON_US)
        self.ledger = AlarmLedger()

    def pass_s(self, seconds: int, pot: int | None) -> None:
        """Let the pot's thermometer say the same every second; the others work."""
        for _ in range(seconds):
            self.now_us += SECOND
            for place, name in enumerate((SCALE, PITCHER)):
                self.feed(Reading(name, self.now_us + place, 0))
            if pot is not None:
                quality = Quality.BAD if pot == BAD else Quality.GOOD
                self.feed(Reading(POT, self.now_us + 5, max(0, pot), quality))
        self.feed(Tick(self.now_us + 10))

    def feed(self, item: Reading | Tick) -> None:
        self.inputs.append(item)
        self.take(self.bench.feed(item))

    def give(self, given: AnyGiven) -> None:
        derived = self.bench.feed(given)
        self.inputs.append(given)
        self.take([given, *derived])

    def take(self, events: Sequence[Event]) -> None:
        for event in events:
            self.ledger.apply(decode(encode(event)))
            self.journal.append(event)

    # ------------------------------------------------------------ keys to press

    def about(self, alarm: Alarm) -> dict[str, str | int | None]:
        raised = alarm.raised
        self.now_us += SECOND
        return {"at_us": self.now_us, "bench": "creek", "lot": raised.lot, "alarm": raised.alarm}

    def press(self, key: str, alarm: Alarm) -> None:
        """Do with an alarm what the service lets a person do. Raises ConflictError."""
        if key == "acknowledge":
            alarm.moved(AlarmMove.ACKNOWLEDGE)
            self.give(msgspec.convert(self.about(alarm), AlarmAcknowledged))
        elif key == "reset":
            alarm.moved(AlarmMove.RESET)
            self.give(msgspec.convert(self.about(alarm), AlarmReset))
        elif key == "shelve":
            alarm.moved(AlarmMove.SHELVE)
            until_us = self.now_us + 60 * SECOND
            self.give(msgspec.convert({**self.about(alarm), "until_us": until_us}, AlarmShelved))
        else:
            alarm.check_shelved(self.now_us + SECOND)
            self.give(msgspec.convert(self.about(alarm), AlarmUnshelved))

    def serve(self, rule: str, subject: str | None, *, out: bool) -> None:
        """Take a rule out or put it back. Raises ConflictError."""
        self.now_us += SECOND
        where = {"at_us": self.now_us, "bench": "creek", "lot": self.bench.lot}
        named = {**where, "rule": rule, "subject": subject}
        if out:
            self.give(msgspec.convert({**named, "reason": "broken"}, RuleTakenOut))
        else:
            self.give(msgspec.convert(named, RulePutBack))

    def turn_over(self) -> None:
        """Close the open lot, or open the next one."""
        self.now_us += SECOND
        if self.bench.lot is not None:
            self.give(LotClosed(at_us=self.now_us, bench="creek", lot=self.bench.lot))
            return
        self.lots += 1
        self.give(
            LotOpened(
                at_us=self.now_us,
                bench="creek",
                lot=str(self.lots),
                recipe=LATCHING if self.latching else AMBER,
                vessels=2,
                channels=self.channels,
                out_of_service=self.bench.out_of_service,
            )
        )

    def check(self) -> None:
        """Hold the bench against the journal."""
        book, alarms = self.bench.book, self.ledger.alarms.values()
        violated = {alarm.raised.alarm for alarm in alarms if alarm.state in VIOLATED}
        assert violated == book.violated
        suppressed = [alarm for alarm in alarms if alarm.suppressed_by is not None]
        assert {alarm.raised.alarm for alarm in suppressed} == book.suppressed
        assert {alarm.suppressed_by for alarm in suppressed} <= violated
        here = (alarm for alarm in alarms if alarm.raised.lot == self.bench.lot)
        assert {alarm.raised.alarm for alarm in here if _latched(alarm)} == book.latched
        assert self.ledger.out_of_service("creek") == self.bench.out_of_service


def _latched(alarm: Alarm) -> bool:
    return alarm.state in {AlarmState.LATCHED, AlarmState.LATCHED_SEEN}


KEYS = ("acknowledge", "reset", "shelve", "unshelve")
PASSING = st.tuples(
    st.just("pass"), st.sampled_from([4, 13]), st.sampled_from([HOT, HOT, COOL, BAD, NOTHING])
)
PRESSING = st.tuples(st.sampled_from(KEYS), st.integers(0, 2), st.none())
SERVING = st.tuples(
    st.sampled_from(["take out", "put back"]), st.sampled_from(RULES), st.sampled_from([None, POT])
)
TURNING = st.tuples(st.just("turn over"), st.none(), st.none())
ACTS = st.integers(0, 19).flatmap(
    lambda roll: (
        PASSING if roll < 10 else PRESSING if roll < 15 else SERVING if roll < 19 else TURNING
    )
)
"""Half of what happens is time that passes: alarms need it."""


def act(day: Day, what: str, which: object, how: object) -> None:
    if what == "pass":
        assert isinstance(which, int)
        day.pass_s(which, how if isinstance(how, int) else None)
    elif what in {"take out", "put back"}:
        day.serve(str(which), None if how is None else str(how), out=what == "take out")
    elif what == "turn over":
        day.turn_over()
    elif day.ledger.alarms and isinstance(which, int):
        alarms = list(day.ledger.alarms.values())
        day.press(what, alarms[-1 - which % len(alarms)])


@pytest.mark.parametrize("latching", [False, True])
@settings(
    max_examples=120,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)
@given(acts=st.lists(ACTS, min_size=10, max_size=40))
def test_whatever_happens_the_journal_tells_the_state_of_the_bench(
    acts: list[tuple[str, object, object]], *, latching: bool
) -> None:
    day = Day(latching=latching)
    day.turn_over()
    for what, which, how in acts:
        before = len(day.journal)
        try:
            act(day, what, which, how)
        except ConflictError:
            assert len(day.journal) == before
        day.check()
    again = AlarmLedger(decode(encode(event)) for event in day.journal)
    assert again.alarms == day.ledger.alarms
    for lot in range(1, day.lots + 1):
        check_replay(day, str(lot))


def check_replay(day: Day, lot: str) -> None:
    """Feed a lot's own record again: the same events, and the bench with the same alarms."""
    journal = [event for event in day.journal if event.lot == lot]
    ended_us = [event.at_us for event in journal if isinstance(event, LotClosed)]
    until_us = ended_us[0] if ended_us else day.now_us + 10
    readings = [
        item
        for item in day.inputs
        if isinstance(item, Reading) and journal[0].at_us < item.taken_us <= until_us
    ]
    bench, derived = replay(journal, readings)
    assert [encode(event) for event in derived] == [encode(e) for e in derived_of(journal)]
    if not ended_us:
        assert bench.book.violated == day.bench.book.violated
        assert bench.book.latched == day.bench.book.latched
        assert bench.out_of_service == day.bench.out_of_service


# ------------------------------------------------------------------ single lives


def hot(day: Day) -> Alarm:
    return next(a for a in day.ledger.alarms.values() if a.raised.rule == "over-temperature")


def test_a_pot_whose_thermometer_fails_is_neither_too_hot_nor_fine() -> None:
    day = Day()
    day.turn_over()
    day.pass_s(4, HOT)
    day.pass_s(13, BAD)
    assert hot(day).shown(day.now_us) is Shown.SUPPRESSED
    silent = day.ledger.find(hot(day).suppressed_by or "")
    assert (silent.raised.rule, silent.raised.subject) == ("instrument-silent", POT)
    day.pass_s(1, HOT)
    assert hot(day).shown(day.now_us) is Shown.ACTIVE
    day.pass_s(13, COOL)
    assert hot(day).shown(day.now_us) is Shown.CLEARED


def test_readings_that_the_instrument_itself_doubts_raise_nothing() -> None:
    day = Day()
    day.turn_over()
    for _ in range(20):
        day.now_us += SECOND
        for place, name in enumerate((SCALE, PITCHER)):
            day.feed(Reading(name, day.now_us + place, 0))
        day.feed(Reading(POT, day.now_us + 5, HOT, Quality.SUSPECT))
    assert day.ledger.alarms == {}


def test_a_latched_alarm_of_a_closed_lot_waits_for_its_reset() -> None:
    day = Day(latching=True)
    day.turn_over()
    day.pass_s(4, HOT)
    day.press("acknowledge", hot(day))
    with pytest.raises(ConflictError, match="its limit does not hold again yet"):
        day.press("reset", hot(day))
    day.turn_over()
    assert hot(day).shown(day.now_us) is Shown.LATCHED
    day.press("reset", hot(day))
    assert hot(day).shown(day.now_us) is Shown.ENDED


def test_a_lot_without_its_scale_has_one_alarm_and_not_one_for_each_step() -> None:
    day = Day()
    day.turn_over()
    for _ in range(15):
        day.now_us += SECOND
        for place, name in enumerate((PITCHER, POT)):
            day.feed(Reading(name, day.now_us + place, COOL))
    day.turn_over()
    own = [a.raised for a in day.ledger.alarms.values() if a.folded_into is None]
    assert [(raised.rule, raised.subject) for raised in own] == [("instrument-silent", SCALE)]
    parts = [a.raised.subject for a in day.ledger.alarms.values() if a.folded_into is not None]
    assert parts == ["draw wax", "add fragrance", "pour"]


def test_a_latched_alarm_that_was_reset_in_its_lot_is_gone_from_the_bench_too() -> None:
    day = Day(latching=True)
    day.turn_over()
    day.pass_s(4, HOT)
    day.press("acknowledge", hot(day))
    day.pass_s(13, COOL)
    day.check()
    assert day.bench.book.latched == {hot(day).raised.alarm}
    day.press("reset", hot(day))
    day.check()
    check_replay(day, "1")
    assert day.bench.book.latched == frozenset()
