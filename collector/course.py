"""The course of one bench: readings, marks and ticks in, events out.

Time comes in with each input and moves on a grid, so that the same inputs give the same events
whether they come from the wire or from the store. Nothing is shared with another course, so a
deep copy goes its own way from here: `bench` takes a mark back with one.
"""

from collections.abc import Sequence

import msgspec

from collector.alarm_book import AlarmBook, manners_of
from collector.answer_events import (
    AlarmAcknowledged,
    AlarmReset,
    AlarmShelved,
    RulePutBack,
    RuleTakenOut,
)
from collector.attendance import Unattended
from collector.display import Display
from collector.errors import ConflictError
from collector.events import AnyDerived, AnyGiven
from collector.lot_events import LotClosed, LotOpened, OutOfService, PhaseMarked, PotTold
from collector.lot_run import LotRun
from collector.procedure import Where
from collector.readings import Channel, Reading, Role
from collector.rules import OVER_TEMPERATURE, USUAL
from collector.service_events import (
    CalibrationWithdrawn,
    ClockFoundOff,
    ClockStepped,
    CollectionResumed,
    InstrumentCalibrated,
    InstrumentFound,
    InstrumentLost,
    ReadingsCameLate,
)
from collector.thermometer import FRESH_US, TYPED_FRESH_US, Thermometer
from collector.watch import Heat, Watch

GRID_US = 500_000
"""How often time is looked at where nothing comes in."""

LONGEST_US = 86_400_000_000
"""A longer time without any input, a day, is not looked at step by step."""


class Tick(msgspec.Struct, frozen=True, gc=False):
    """Time has passed."""

    at_us: int


Input = Reading | AnyGiven | Tick

_OF_MACHINES = (InstrumentLost, InstrumentFound, ReadingsCameLate)
"""What comes from outside without a person's doing."""


class Course:
    """What one bench has made of its inputs so far, with or without an open lot.

    `feed` it in order of time. A mark that is taken back is not its matter.
    """

    def __init__(  # noqa: PLR0913, PLR0917 - one for each thing that its judgment depends on
        self,
        name: str,
        channels: Sequence[Channel],
        display: Display,
        since_us: int,
        unattended: Unattended | None = None,
        out_of_service: Sequence[OutOfService] = (),
    ) -> None:
        self.name = name
        self.run: LotRun | None = None
        self._own = tuple(channels)
        self._display = display
        self._unattended = unattended
        self.now_us = since_us
        self.book = AlarmBook("", out_of_service=out_of_service)
        self._start_idle(since_us)

    @property
    def channels(self) -> tuple[Channel, ...]:
        """The bench's channels."""
        return tuple(self._channels.values())

    @property
    def lot(self) -> str | None:
        """The open lot's id."""
        return self.run.lot if self.run is not None else None

    @property
    def out_of_service(self) -> tuple[OutOfService, ...]:
        """The rules that are not announced here, in the order in which they were taken out."""
        return self.book.out_of_service

    def feed(self, item: Input) -> list[AnyDerived]:
        """Take one input and return what follows from it.

        Raises ConflictError where a given event contradicts the bench's state; nothing has
        changed then.
        """
        if isinstance(item, Reading):
            return self.advance(item.taken_us) + self._read(item)
        if isinstance(item, CollectionResumed):
            return self._resume(item)
        if isinstance(item, ClockStepped):
            return self._step(item)
        self._check(item)
        events = self.advance(item.at_us)
        if not isinstance(item, Tick | ClockFoundOff):  # no clock says that somebody is there
            events += self._given(item)
        return events

    def attend(self, where: Where) -> list[AnyDerived]:
        """Take note that a person did something at the bench."""
        return self._watch.attend(where)

    def _check(self, item: Input) -> None:
        if isinstance(item, LotOpened) and self.lot is not None:
            raise ConflictError(
                f"Lot {self.lot} is open at bench {self.name}: close it first.",
                {"lot": self.lot},
            )
        if isinstance(item, InstrumentCalibrated | CalibrationWithdrawn):
            self.check_calibrates(item.instrument)
        if isinstance(item, RuleTakenOut):
            self.book.check_takes_out(item.rule, item.subject)
        elif isinstance(item, RulePutBack):
            self.book.check_puts_back(item.rule, item.subject)

    def check_calibrates(self, instrument: str) -> None:
        """Raise ConflictError where a calibration has to wait for the end of a lot."""
        if self.lot is not None:
            raise ConflictError(
                f"Lot {self.lot} is open at bench {self.name}, and its readings must not change"
                f" their meaning in the middle: calibrate {instrument} once it is closed.",
                {"lot": self.lot},
            )

    def advance(self, to_us: int) -> list[AnyDerived]:
        """Let time pass until then."""
        events: list[AnyDerived] = []
        if to_us <= self.now_us:
            return events
        grid_us = (self.now_us // GRID_US + 1) * GRID_US
        if to_us - self.now_us > LONGEST_US:
            # A clock that was far behind until it met the network must not be walked through.
            grid_us = ((to_us - LONGEST_US) // GRID_US + 1) * GRID_US
        while grid_us <= to_us:
            where = Where(grid_us, self.name, self.lot)
            events += self._watch.tick(where)
            if self.run is not None:
                events += self.run.tick(where)
            grid_us += GRID_US
        self.now_us = to_us
        return events

    def _read(self, reading: Reading) -> list[AnyDerived]:
        if reading.channel not in self._channels:
            return []
        run = self.run
        where = Where(reading.taken_us, self.name, run.lot if run is not None else None)
        thermometer = self._thermometer_of.get(reading.channel)
        if thermometer is not None:
            thermometer.feed(reading)
        events = self._watch.read(where, reading)
        if run is not None:
            take = run.weigh if thermometer is None else run.read
            events += take(where, reading)
        return events

    def _given(self, given: AnyGiven) -> list[AnyDerived]:
        where = Where(given.at_us, self.name, self.lot)
        if isinstance(given, LotOpened):
            return self._open(where, given)
        events: list[AnyDerived] = []
        # What concerns another lot is not in this one's record: a replay would not see it.
        if given.lot == self.lot and not isinstance(given, _OF_MACHINES):
            events += self.attend(where)
        if isinstance(given, InstrumentLost):
            self._watch.lose(given)
        elif isinstance(given, InstrumentFound):
            self._watch.find(given)
        elif self.run is not None and given.lot == self.run.lot:
            if isinstance(given, PhaseMarked):
                return events + self.run.mark(where, given)
            if isinstance(given, LotClosed):
                return events + self._close(where, self.run)
            if isinstance(given, PotTold):
                self.run.pot.told(given.pot)
        return events + self._answer(where, given)

    def _answer(self, where: Where, given: AnyGiven) -> list[AnyDerived]:
        """Take what a person says about an alarm or a rule."""
        if isinstance(given, AlarmAcknowledged | AlarmShelved):  # who puts it aside has seen it
            self.book.acknowledge(given.alarm)
        elif isinstance(given, AlarmReset):
            self.book.reset(given.alarm)
        elif isinstance(given, RuleTakenOut):
            self.book.take_out(OutOfService(given.rule, given.subject, given.reason))
        elif isinstance(given, RulePutBack):
            return list(self.book.put_back(where, given.rule, given.subject))
        return []

    def _open(self, where: Where, opened: LotOpened) -> list[AnyDerived]:
        events: list[AnyDerived] = list(self.book.clear_all(where, "a lot was opened"))
        self.book = AlarmBook(
            f"{opened.lot}", manners_of(opened.recipe), opened.channels, opened.out_of_service
        )
        recipe = opened.recipe
        manner = recipe.manners.get(OVER_TEMPERATURE, USUAL)
        heat = Heat(recipe.wax.never_above_mdegc, manner, opened.unattended)
        self._start(opened.channels, heat, where.at_us)
        self.run = LotRun(opened, self.book, self._thermometers)
        return events

    def _close(self, where: Where, run: LotRun) -> list[AnyDerived]:
        events = run.close(where)
        events += self.book.clear_all(where, "the lot was closed")
        self._start_idle(where.at_us)
        return events

    def _resume(self, resumed: CollectionResumed) -> list[AnyDerived]:
        """Go on after a time in which nothing was collected: nothing is judged in between."""
        self.now_us = max(self.now_us, resumed.at_us)
        self._watch.resume(resumed.at_us)
        return []

    def _step(self, stepped: ClockStepped) -> list[AnyDerived]:
        """Begin afresh at another time. Raises ConflictError in a lot, whose time goes on."""
        if self.lot is not None:
            raise ConflictError(f"Lot {self.lot} is open at bench {self.name}: its time goes on.")
        self.now_us = stepped.at_us
        # Before a step forward, so that no alarm seems to have stood for as long as that.
        where = Where(min(stepped.at_us, stepped.since_us), self.name, None)
        events: list[AnyDerived] = list(self.book.clear_all(where, "the clock was set"))
        self._start_idle(stepped.at_us)
        return events

    def _start_idle(self, since_us: int) -> None:
        self.run = None
        prefix = f"{self.name}-{since_us // 1_000_000}"
        self.book = AlarmBook(prefix, {}, self._own, self.out_of_service)
        self._start(self._own, Heat(unattended=self._unattended), since_us)

    def _start(self, channels: Sequence[Channel], heat: Heat, since_us: int) -> None:
        """Begin with a clean slate, so that a lot can be judged again from its own record."""
        self._channels = {channel.name: channel for channel in channels}
        self._thermometers: dict[Role, Thermometer] = {
            channel.role: Thermometer(TYPED_FRESH_US if channel.typed else FRESH_US)
            for channel in channels
            if channel.role is not Role.SCALE
        }
        self._thermometer_of = {
            channel.name: self._thermometers[channel.role]
            for channel in channels
            if channel.role is not Role.SCALE
        }
        self._watch = Watch(channels, heat, self.book, self._display, since_us)
