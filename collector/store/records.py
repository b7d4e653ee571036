"""What the store gives back: values as they were stored."""

from typing import NamedTuple

import msgspec
import numpy as np
from numpy.typing import NDArray

from collector.events import AnyEvent
from collector.readings import Reading
from collector.recipes import Recipe


def stored_quality(reading: Reading) -> int:
    """Return a reading's quality as it is stored."""
    # int(): sqlite3 binds a plain int faster than an enumeration's member
    return int(reading.quality)


class StoredEvent(msgspec.Struct, frozen=True):
    """An event and its number in the journal, from 1."""

    seq: int
    event: AnyEvent


class StoredLot(msgspec.Struct, frozen=True):
    """A lot in one line; its events tell the rest. Times are UTC microseconds.

    `recipe` is the recipe's name, `closed_us` None while the lot is open.
    """

    id: str
    bench: str
    recipe: str
    vessels: int
    opened_us: int
    closed_us: int | None

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

    `times` are UTC microseconds, `values` integers of the quantity's resolution, `qualities`
    numbers of `collector.readings.Quality`.
    """

    times: NDArray[np.int64]
    values: NDArray[np.int64]
    qualities: NDArray[np.uint8]
