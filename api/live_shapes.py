"""What the event stream says, by the name of its event."""

from pydantic import BaseModel, Field

from api.alarm_shapes import AlarmShown
from api.bench_shapes import BenchShown
from api.instrument_shapes import InstrumentShown, ReadingShown
from api.lot_shapes import LotEntry, PhaseShown, Weighing
from collector.readings import Role


class ReadingTold(ReadingShown):
    """A reading as it came.

    `shown` is what the instrument showed before its calibration, null where nobody knows any more.
    """

    channel: str
    instrument: str
    bench: str
    role: Role
    shown: float | None
    t: float = Field(description="when it was taken, as in a curve: seconds since 1970")
    skipped: int = Field(
        description="how many of the channel before it are not told, since there were too many at"
        " once; they are in the curve"
    )


class PhaseTold(PhaseShown):
    """A phase began or ended."""

    lot: str | None
    bench: str | None


class WeighingTold(Weighing):
    """A mass was accepted."""

    lot: str | None
    bench: str | None


class Beat(BaseModel):
    """The service is alive; what keeps it from writing, and what soon may."""

    now: str
    trouble: str | None
    notice: str | None


class Told(BaseModel):
    """Each event of the stream and its data; not a message by itself."""

    reading: ReadingTold
    phase: PhaseTold
    weighing: WeighingTold
    alarm: AlarmShown
    lot: LotEntry
    bench: BenchShown
    instrument: InstrumentShown
    beat: Beat = Field(description="every second")
