"""Where the readings of a lot's curve come from: from here, or from the scale-out history."""

from collector.lot_record import LotRecord
from collector.readings import Channel
from collector.store.influx.curves import read_span
from collector.store.records import ReadingSpan
from collector.workshop import Workshop


def lot_span(workshop: Workshop, record: LotRecord, channel: Channel) -> ReadingSpan:
    """Return a channel's readings over a lot's span. Blocks.

    Raises StoreError, and RemoteStoreError where only the scale-out history may have them and
    cannot be asked.
    """
    from_us, to_us = record.opened.at_us, record.closed_us or workshop.clock.now_us()
    here = workshop.history.readings(channel.name, from_us, to_us)
    if workshop.scale_out is None or not may_be_elsewhere(record, here):
        return here
    return read_span(workshop.scale_out, channel, from_us, to_us)


def may_be_elsewhere(record: LotRecord, here: ReadingSpan) -> bool:
    """Tell whether a lot's readings may have been here and are kept elsewhere only.

    So far: a closed lot of whose channel nothing is here.
    """
    return record.closed_us is not None and here.times.size == 0
