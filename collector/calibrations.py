"""The calibrations of a workshop: which one holds for which reading."""

from bisect import bisect_right
from collections.abc import Collection, Iterable

from collector.correction import Correction
from collector.readings import Quality, Reading
from collector.service_events import CalibrationWithdrawn, InstrumentCalibrated

Calibrating = InstrumentCalibrated | CalibrationWithdrawn

CALIBRATION_EVENTS = (InstrumentCalibrated, CalibrationWithdrawn)


class Calibrations:
    """What the journal says of calibrations, and what follows for a reading.

    A reading that is taken here is corrected by the latest calibration. One of an instrument
    `elsewhere` may have been under way for hours: it is corrected by the one that held when it
    was taken. Where all readings are `forwarded` nothing is in force: the hub corrects them, and
    twice would be once too often.
    """

    def __init__(self, elsewhere: Collection[str] = (), *, forwarded: bool = False) -> None:
        self._elsewhere = frozenset(elsewhere)
        self._forwarded = forwarded
        self._history: dict[str, list[Calibrating]] = {}
        self._in_force: dict[str, Correction] = {}

    def apply(self, event: Calibrating) -> None:
        """Take an event; it holds from now on."""
        self._history.setdefault(event.instrument, []).append(event)
        if isinstance(event, InstrumentCalibrated):
            self._in_force[event.instrument] = event.correction
        else:
            self._in_force.pop(event.instrument, None)

    def of(self, instrument: str) -> tuple[Calibrating, ...]:
        """Return all that was said of an instrument, the latest last."""
        return tuple(self._history.get(instrument, ()))

    def in_force(self, instrument: str) -> InstrumentCalibrated | None:
        """Return the calibration that holds now, None where there is none."""
        latest = None if self._forwarded else self._history.get(instrument, [None])[-1]
        return latest if isinstance(latest, InstrumentCalibrated) else None

    def corrected(self, reading: Reading) -> Reading:
        """Return a reading as it is kept; the same one where nothing holds for it.

        A value that is none (quality `BAD`) stays what it is.
        """
        if self._forwarded or reading.channel not in self._history:
            return reading
        correction = self._for(reading)
        if correction is None or reading.quality is Quality.BAD:
            return reading
        value = correction.apply(reading.value)
        return Reading(reading.channel, reading.taken_us, value, reading.quality, reading.late)

    def _for(self, reading: Reading) -> Correction | None:
        if reading.channel not in self._elsewhere:
            return self._in_force.get(reading.channel)
        return correction_at(self._history[reading.channel], reading.taken_us)


def correction_at(history: Iterable[Calibrating], at_us: int) -> Correction | None:
    """Return what held at a time by an instrument's history; None before the first."""
    told = list(history)
    place = bisect_right([event.at_us for event in told], at_us)
    latest = told[place - 1] if place else None
    return latest.correction if isinstance(latest, InstrumentCalibrated) else None
