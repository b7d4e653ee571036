"""The latest marks of the open lot, with what it takes to go on as if one had not been made.

A mark decides how the scale is read from then on, and nothing can be worked out backwards from
that. So the bench as it stood before the mark is kept, with all that came in since: without the
mark it goes the same way again.
"""

from collections import deque
from copy import deepcopy
from dataclasses import dataclass, field

import msgspec

from collector.course import Course, Input, Tick
from collector.errors import ConflictError
from collector.events import AnyDerived
from collector.lot_events import MarkWithdrawn, PhaseMarked
from collector.phases import Edge, PhaseName
from collector.procedure import Where

UNDO_US = 300_000_000
"""For five minutes a mark can be taken back: whoever pressed by mistake looks at the page sooner,
and longer than that nobody knows any more what it was."""

MOST = 8
"""So many marks are kept: more within five minutes are play, and each holds a whole bench."""


def stays(phase: PhaseName, edge: Edge) -> ConflictError:
    """Return what is said of a mark that was made too long ago."""
    did = "began" if edge is Edge.BEGIN else "ended"
    return ConflictError(
        f"The mark that {phase} {did} stays: a mark can be taken back for"
        f" {UNDO_US // 60_000_000} minutes, and of many only the last {MOST}. Mark what is true"
        " now: the lot's record shows both."
    )


@dataclass
class Kept:
    """A mark, the bench before it, how much it had told of the lot, and what came in since."""

    mark: PhaseMarked
    before: Course
    told: int
    inputs: list[Input] = field(default_factory=list)

    @property
    def until_us(self) -> int:
        """Up to when the mark can be taken back."""
        return self.mark.at_us + UNDO_US

    def without_it(self, until_us: int, raised: int) -> tuple[Course, list[AnyDerived]]:
        """Go the same way without the mark; return where that leads, and what is told on it.

        `raised` alarms have names already.
        """
        course = self.before
        course.book.raised = raised
        # The mark was a mistake; that somebody pressed was not.
        told = course.attend(Where(self.mark.at_us, course.name, course.lot))
        told += [event for item in self.inputs for event in course.feed(item)]
        return course, told + course.advance(until_us)


class Marks:
    """The marks that can be taken back, the latest last."""

    def __init__(self) -> None:
        self._kept: deque[Kept] = deque(maxlen=MOST)

    def latest(self, at_us: int) -> Kept | None:
        """Return the one that can be taken back at a time."""
        return self._kept[-1] if self._kept and at_us <= self._kept[-1].until_us else None

    def keep(self, mark: PhaseMarked, course: Course, told: int) -> None:
        """Take note of a mark that is about to be made."""
        self._kept.append(Kept(mark, deepcopy(course), told))

    def note(self, item: Input) -> None:
        """Take note of anything else that came in; time passes by itself."""
        if not self._kept or isinstance(item, Tick):
            return
        self._kept[-1].inputs.append(item)

    def expire(self, now_us: int) -> None:
        """Forget what can no longer be taken back."""
        while self._kept and self._kept[0].until_us < now_us:
            self._kept.popleft()

    def find(self, withdrawn: MarkWithdrawn) -> Kept:
        """Return the mark that is taken back. Raises ConflictError where it cannot be."""
        latest, marked_us = self.latest(withdrawn.at_us), withdrawn.marked_us
        if latest is None or not any(kept.mark.at_us == marked_us for kept in self._kept):
            raise stays(withdrawn.phase, withdrawn.edge)
        if latest.mark.at_us != marked_us:
            raise ConflictError("A later mark was made: take that one back first.")
        return latest

    def drop(self, withdrawn: MarkWithdrawn) -> None:
        """Forget the latest: what came in since belongs to the one before.

        That somebody pressed twice stays there as well, as signs that she was at the bench.
        """
        dropped = self._kept.pop()
        if self._kept:
            press = msgspec.structs.replace(withdrawn, at_us=dropped.mark.at_us)
            self._kept[-1].inputs += [press, *dropped.inputs, withdrawn]

    def clear(self) -> None:
        """Forget all: the lot is over, or another begins."""
        self._kept.clear()
