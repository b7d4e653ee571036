"""What befalls the service itself: its instruments, its store and its clock."""

from collector.correction import Correction, Point
from collector.event_base import Given


class InstrumentLost(Given, frozen=True, kw_only=True, tag="instrument-lost"):
    """The port of an instrument failed."""

    instrument: str
    reason: str
    remedy: str


class InstrumentFound(Given, frozen=True, kw_only=True, tag="instrument-found"):
    """The port of an instrument works again."""

    instrument: str


class InstrumentCalibrated(Given, frozen=True, kw_only=True, tag="instrument-calibrated"):
    """A person held an instrument against known values: readings are corrected from here on.

    `note` says by whom or with what. `points` are what `correction` was made of.
    """

    instrument: str
    points: tuple[Point, ...]
    correction: Correction
    note: str


class CalibrationWithdrawn(Given, frozen=True, kw_only=True, tag="calibration-withdrawn"):
    """Readings of an instrument are kept as it shows them again."""

    instrument: str
    note: str


class CollectionResumed(Given, frozen=True, kw_only=True, tag="collection-resumed"):
    """The service was away: nothing was collected from `since_us` until this event."""

    since_us: int


class ReadingsLost(Given, frozen=True, kw_only=True, tag="readings-lost"):
    """The store refused for so long that memory could not hold all readings of a time."""

    from_us: int
    to_us: int
    count: int


class ReadingsExpired(Given, frozen=True, kw_only=True, tag="readings-expired"):
    """The store removed readings that nobody wants to keep.

    All of them were taken before `before_us`; readings of lots that were open or kept are not
    among them. Where space was the reason, `used_bytes` is what the store's file held after it.
    """

    before_us: int
    readings: int
    used_bytes: int | None = None


class ReadingsCameLate(Given, frozen=True, kw_only=True, tag="readings-came-late"):
    """Readings of a bench came when it had gone on: they are kept, and were not judged.

    They were taken from `from_us` to `to_us`, ends included.
    """

    from_us: int
    to_us: int
    count: int


class ClockStepped(Given, frozen=True, kw_only=True, tag="clock-stepped"):
    """The service's time followed a step of the system's clock by `by_us`.

    `at_us` is the new time, `since_us` the old time of the same moment. The readings that
    belong to no lot and were taken since the start or the last step moved with it; what came
    before them, and lots, did not.
    """

    by_us: int
    since_us: int


class ClockFoundOff(Given, frozen=True, kw_only=True, tag="clock-found-off"):
    """The times of an open lot are wrong by `by_us`: so much is missing to the true time.

    None where they are known to be wrong, and nobody knows by how much. A later event of the
    lot takes the place of an earlier one. What it says about time that passed is true.
    """

    by_us: int | None
