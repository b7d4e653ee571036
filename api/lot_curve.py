"""Where the readings of a lot's curve come from: from here, and from the scale-out history."""

from api.removed_readings import were_removed
from collector.lot_record import LotRecord
from collector.readings import Channel
from collector.store.history import History
from collector.store.influx.curves import read_span
from collector.store.records import ReadingSpan, united
from collector.workshop import Workshop


def lot_end_us(workshop: Workshop, record: LotRecord) -> int:
    """Return when a lot was closed; now, while it is open."""
    return workshop.clock.now_us() if record.closed_us is None else record.closed_us


def lot_span(
    workshop: Workshop,
    record: LotRecord,
    channel: Channel,
    from_us: int | None = None,
    to_us: int | None = None,
) -> ReadingSpan:
    """Return a channel's readings over a lot's span, or over the part of it that is asked. Blocks.

    Raises StoreError, and RemoteStoreError where only the scale-out history may have some of
    them and cannot be asked.
    """
    opened_us, end_us = record.opened.at_us, lot_end_us(workshop, record)
    from_us = opened_us if from_us is None else max(opened_us, from_us)
    to_us = end_us if to_us is None else min(end_us, to_us)
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
