"""One bench as a pure machine: readings, marks and ticks in, events out.

Its course makes the events. The bench itself remembers the latest marks, so that one that was
made by mistake can be taken back: then it goes on as if that mark had never been made, and tells
what is otherwise.
"""

from collections.abc import Sequence

from collector.alarm_book import AlarmBook
from collector.amends import amends
from collector.answer_events import AlarmReset
from collector.attendance import Unattended
from collector.course import GRID_US, LONGEST_US, Course, Input, Tick
from collector.display import Display
from collector.events import AnyDerived
from collector.lot_events import LotClosed, LotOpened, MarkWithdrawn, OutOfService, PhaseMarked
from collector.lot_run import LotRun
from collector.marks import Kept, Marks
from collector.procedure import Where
from collector.readings import Channel

__all__ = ["GRID_US", "LONGEST_US", "Bench", "Input", "Tick"]


class Bench:
    """Follows one bench, with or without an open lot. `feed` it in order of time."""

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
        self._course = Course(name, channels, display, since_us, unattended, out_of_service)
        self._marks = Marks()
        self._told: list[AnyDerived] = []  # of the open lot

    @property
    def now_us(self) -> int:
        """The time of the latest input or tick."""
        return self._course.now_us

    @property
    def channels(self) -> tuple[Channel, ...]:
        """The bench's channels."""
        return self._course.channels

    @property
    def run(self) -> LotRun | None:
        """The open lot."""
        return self._course.run

    @property
    def lot(self) -> str | None:
        """The open lot's id."""
        return self._course.lot

    @property
    def book(self) -> AlarmBook:
        """The alarms that stand here, those of the open lot or those between lots."""
        return self._course.book

    @property
    def out_of_service(self) -> tuple[OutOfService, ...]:
        """The rules that are not announced here, in the order in which they were taken out."""
        return self._course.book.out_of_service

    @property
    def undoable(self) -> Kept | None:
        """The mark that can be taken back now."""
        return self._marks.latest(self.now_us)

    def check_calibrates(self, instrument: str) -> None:
        """Raise ConflictError where a calibration has to wait for the end of a lot."""
        self._course.check_calibrates(instrument)

    def feed(self, item: Input) -> list[AnyDerived]:
        """Take one input and return what follows from it.

        Raises ConflictError where a given event contradicts the bench's state; nothing has
        changed then.
        """
        if isinstance(item, MarkWithdrawn):
            return self._take_back(item) if item.lot == self.lot else []
        if isinstance(item, PhaseMarked) and item.lot == self.lot:
            return self._mark(item)
        events = self._course.feed(item)
        if isinstance(item, LotOpened | LotClosed):
            self._marks.clear()
            self._told.clear()
            return events
        if self.lot is not None:
            self._told += events
            self._marks.expire(self.now_us)
            self._marks.note(item)
        return events

    def _mark(self, marked: PhaseMarked) -> list[AnyDerived]:
        before = self._course.advance(marked.at_us)
        self._told += before
        self._marks.keep(marked, self._course, len(self._told))
        events = self._course.feed(marked)
        self._told += events
        return before + events

    def _take_back(self, withdrawn: MarkWithdrawn) -> list[AnyDerived]:
        """Go on as if the latest mark had never been made; tell what is otherwise."""
        kept = self._marks.find(withdrawn)
        told = self._course.advance(withdrawn.at_us)
        self._told += told
        where = Where(withdrawn.at_us, self.name, self.lot)
        mistaken = self._course.book
        course, instead = kept.without_it(withdrawn.at_us, mistaken.raised)
        would = [*self._told[: kept.told], *instead]
        amended = amends(where, self._told, would, mistaken.latched)
        course.book.succeed(mistaken, amended.names, amended.dropped, amended.unsaid)
        for reset in (item for item in kept.inputs if isinstance(item, AlarmReset)):
            course.book.reset(reset.alarm)  # it may have gone under another name on the way
        self._course = course
        self._marks.drop(withdrawn)
        told += amended.events
        self._told += amended.events
        attended = course.attend(where)
        self._told += attended
        return told + attended
