"""A slice of readings as the columns of the shared table. Pure."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from api.export.rows import US_PER_S
from api.presenting import QUALITY
from collector.readings import Channel, Quality
from collector.store.reading_slices import ReadingSlice
from collector.units import UNIT_OF, from_fixed


class ReadingRows(NamedTuple):
    """The columns of readings, all of one length and in time order.

    `places` names each one's channel by its place in the lot's list. A bad reading has no value.
    """

    times_us: NDArray[np.int64]
    seconds: list[float]
    places: NDArray[np.intp]
    values: list[float | None]
    qualities: NDArray[np.uint8]
    late: list[bool]


def reading_rows(found: ReadingSlice, channels: Sequence[Channel], opened_us: int) -> ReadingRows:
    """Return a slice as columns; a value is the same number that a curve shows."""
    span = found.readings
    quantities = [channel.quantity for channel in channels]
    numbers = zip(span.values.tolist(), found.places.tolist(), span.qualities.tolist(), strict=True)
    return ReadingRows(
        times_us=span.times,
        seconds=((span.times - opened_us) / US_PER_S).tolist(),
        places=found.places,
        values=[
            None if quality == Quality.BAD else from_fixed(value, quantities[place])
            for value, place, quality in numbers
        ],
        qualities=span.qualities,
        late=(span.flags != span.qualities).tolist(),
    )


class Label(NamedTuple):
    """What the rows of one channel have in common."""

    name: str
    role: str
    unit: str


def labels(channels: Sequence[Channel]) -> list[Label]:
    """Return what the rows of each channel have in common."""
    return [Label(c.name, c.role.value, UNIT_OF[c.quantity]) for c in channels]


def quality_names(qualities: NDArray[np.uint8]) -> list[str]:
    """Return the words of some qualities."""
    return [QUALITY[quality] for quality in qualities.tolist()]


def moments(times_us: NDArray[np.int64]) -> list[str]:
    """Write UTC microseconds as RFC 3339 text, to the microsecond: as exact as they are kept."""
    texts: list[str] = np.datetime_as_string(times_us.astype("datetime64[us]")).tolist()
    return [f"{text}Z" for text in texts]


def moment(time_us: int | None) -> str | None:
    """Write one time as `moments` does, None as None."""
    return None if time_us is None else moments(np.array([time_us], np.int64))[0]
