"""Which mark of a lot a person means to take back, and whether she still can after the bench.

As long as a lot is open, its bench decides.
"""

from collections.abc import Callable

from collector.errors import ConflictError, NotFoundError
from collector.lot_events import MarkWithdrawn, PhaseMarked
from collector.lot_record import LotRecord
from collector.marks import UNDO_US, stays


def meant(record: LotRecord, is_it: Callable[[PhaseMarked], bool] | None = None) -> PhaseMarked:
    """Return the mark that is meant, without a sign of which one the latest that stands.

    Raises NotFoundError where there is none, ConflictError where it is taken back already.
    """
    lot = record.opened.lot
    if is_it is None:
        if record.latest_mark is None:
            raise ConflictError(f"Lot {lot} has no mark that could be taken back.")
        return record.latest_mark
    mark = next((mark for mark in reversed(record.marks) if is_it(mark)), None)
    if mark is None:
        raise NotFoundError(f"Lot {lot} has no mark of that time; GET /api/lots/{lot} shows them.")
    if record.withdrawn_us(mark) is not None:
        raise ConflictError("That mark is taken back already: nothing else was changed.")
    return mark


def withdrawn(record: LotRecord, mark: PhaseMarked, at_us: int) -> MarkWithdrawn:
    """Return the event that takes a mark back.

    Raises ConflictError where the lot is closed and the mark stays.
    """
    if record.closed_us is not None:
        _check_closed(record, mark, at_us)
    return MarkWithdrawn(
        at_us=at_us,
        bench=mark.bench,
        lot=mark.lot,
        phase=mark.phase,
        edge=mark.edge,
        marked_us=mark.at_us,
        aftercare=mark.aftercare,
    )


def _check_closed(record: LotRecord, mark: PhaseMarked, at_us: int) -> None:
    if record.closed_us is not None and mark.at_us <= record.closed_us:
        raise ConflictError(
            f"Lot {record.opened.lot} was closed after that mark, so it stays: the record is made."
            " Say in the lot's verdict what was otherwise."
        )
    if mark != record.latest_mark:
        raise ConflictError("A later mark was made: take that one back first.")
    if at_us > mark.at_us + UNDO_US:
        raise stays(mark.phase, mark.edge)
