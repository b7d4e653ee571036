"""Where the readings of a lot's curve come from: from here, and from the scale-out history."""

from api.removed_readings import were_removed
from collector.lot_record import LotRecord
from collector.readings import Channel
from collector.store.history import History
from collector.store.influx.curves import read_span
from collector.store.records import ReadingSpan, united
from collector.workshop import Workshop


def lot_span(workshop: Workshop, record: LotRecord, channel: Channel) -> ReadingSpan:
    """Return a channel's readings over a lot's span. Blocks.

    Raises StoreError, and RemoteStoreError where only the scale-out history may have some of
    them and cannot be asked.
    """
    from_us, to_us = record.opened.at_us, record.closed_us or workshop.clock.now_us()
    here = workshop.history.readings(channel.name, from_us, to_us)
    if workshop.scale_out is None or not may_be_elsewhere(record, here, workshop.history):
        return here
    return united([here, read_span(workshop.scale_out, channel, from_us, to_us)])


def may_be_elsewhere(record: LotRecord, here: ReadingSpan, history: History) -> bool:
    """Tell whether some of a lot's readings may have been here and are kept elsewhere only.

    A closed lot of whose channel nothing is here, or one that began before the time up to which
    old readings were removed and was not kept for good when they were: they go by whole blocks,
    so a part of a lot may be left.
    """
    if record.closed_us is None:
        return False
    if here.times.size == 0:
        return True
    return were_removed(history, record.opened.lot or "", record.opened.at_us)
