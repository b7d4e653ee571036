"""What the wax of a pitcher was at a moment, by the readings that are kept."""

from functools import partial

import numpy as np

from api.lot_curve import lot_span
from collector.lot_record import LotRecord
from collector.readings import Channel, Quality, Role
from collector.store.records import ReadingSpan
from collector.thermometer import FRESH_US, TYPED_FRESH_US
from collector.workshop import Workshop


def pitcher_probe(record: LotRecord) -> Channel | None:
    """Return the thermometer that a lot's pitchers had, None where there was none."""
    probes = (channel for channel in record.opened.channels if channel.role is Role.PITCHER)
    return next(probes, None)


def last_at(span: ReadingSpan, at_us: int, fresh_us: int) -> int | None:
    """Return the last good reading up to a time, as the bench knew it; None where it is old."""
    seen = span.judged
    seen = seen.where(seen.qualities == Quality.GOOD)
    place = int(np.searchsorted(seen.times, at_us, side="right")) - 1
    if place < 0 or at_us - int(seen.times[place]) > fresh_us:
        return None
    return int(seen.values[place])


def mdegc_at(
    workshop: Workshop, record: LotRecord, probe: Channel | None, at_us: int
) -> int | None:
    """Return a lot's temperature (0.001 °C) at a time; None where no probe told. Blocks.

    Raises StoreError, and RemoteStoreError as `lot_span` does.
    """
    if probe is None:
        return None
    fresh_us = TYPED_FRESH_US if probe.typed else FRESH_US
    around = partial(lot_span, workshop, record, probe)
    return last_at(around(at_us - fresh_us, at_us), at_us, fresh_us)
