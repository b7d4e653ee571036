"""What the store gives back: values as they were stored."""

from collections.abc import Sequence
from typing import NamedTuple

import msgspec
import numpy as np
from numpy.typing import NDArray

from collector.events import AnyEvent
from collector.readings import Quality, Reading
from collector.recipes import Recipe

LATE = 4
"""Set in a stored quality where the reading came late; below it stands the `Quality`."""

_QUALITIES = tuple(Quality)
_QUALITY_BITS = LATE - 1


def stored_quality(reading: Reading) -> int:
    """Return a reading's quality and lateness as one stored number."""
    # int(): sqlite3 binds a plain int faster than an enumeration's member
    return int(reading.quality) | (LATE if reading.late else 0)


def stored_reading(channel: str, taken_us: int, value: int, quality: int) -> Reading:
    """Return the reading that was stored."""
    return Reading(channel, taken_us, value, _QUALITIES[quality & _QUALITY_BITS], quality >= LATE)


class StoredEvent(msgspec.Struct, frozen=True):
    """An event and its number in the journal, from 1."""

    seq: int
    event: AnyEvent


class StoredLot(msgspec.Struct, frozen=True):
    """A lot in one line; its events tell the rest. Times are UTC microseconds.

    `recipe` is the recipe's name, `closed_us` None while the lot is open, `kept` whether its
    readings are never removed.
    """

    id: str
    bench: str
    recipe: str
    vessels: int
    opened_us: int
    closed_us: int | None
    kept: bool = False

    @property
    def is_open(self) -> bool:
        """Whether the bench still works on it."""
        return self.closed_us is None


class StoredRecipe(msgspec.Struct, frozen=True):
    """A recipe as it was last kept; `document` is its JSON as it came in."""

    recipe: Recipe
    document: str
    updated_us: int

    @property
    def name(self) -> str:
        """What it is known by."""
        return self.recipe.name


class ReadingSpan(NamedTuple):
    """The readings of one channel as three arrays of one length, in time order.

    `times` are UTC microseconds, `values` integers of the quantity's resolution; `flags` hold a
    `Quality` each, and `LATE` with it where the reading came late.
    """

    times: NDArray[np.int64]
    values: NDArray[np.int64]
    flags: NDArray[np.uint8]

    @property
    def qualities(self) -> NDArray[np.uint8]:
        """Numbers of `collector.readings.Quality`."""
        return self.flags & np.uint8(_QUALITY_BITS)

    @property
    def judged(self) -> "ReadingSpan":
        """Those that a bench was fed: none that came late."""
        return self.where(self.flags < LATE)

    def where(self, chosen: NDArray[np.bool_] | NDArray[np.intp]) -> "ReadingSpan":
        """Return the readings that are chosen, by a mask or by their places in order."""
        return ReadingSpan(self.times[chosen], self.values[chosen], self.flags[chosen])

    def between(self, from_us: int, to_us: int) -> "ReadingSpan":
        """Return the readings of a part of the span, ends included."""
        start = int(np.searchsorted(self.times, from_us, "left"))
        end = int(np.searchsorted(self.times, to_us, "right"))
        return ReadingSpan(self.times[start:end], self.values[start:end], self.flags[start:end])


NO_READINGS = ReadingSpan(np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0, np.uint8))


def united(spans: Sequence[ReadingSpan]) -> ReadingSpan:
    """Return the readings of several spans of one channel in time order.

    Where two have the same time, that of the earlier span stays.
    """
    if len(spans) == 1:
        return spans[0]
    whole = ReadingSpan(
        np.concatenate([NO_READINGS.times, *(span.times for span in spans)]),
        np.concatenate([NO_READINGS.values, *(span.values for span in spans)]),
        np.concatenate([NO_READINGS.flags, *(span.flags for span in spans)]),
    )
    if bool((whole.times[1:] > whole.times[:-1]).all()):
        return whole
    _times, order = np.unique(whole.times, return_index=True)  # the first of each time, sorted
    return whole.where(order)
