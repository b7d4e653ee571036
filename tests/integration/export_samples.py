"""A stored lot with something of everything that an export has to hold."""

from pathlib import Path

from sealing_samples import DAY_US, S_US, all_done, opened
from store_samples import BENCH, LOT, RECIPE, SCALE, START_US, recipe_kept, weighing

from collector.alarm_events import AlarmCleared, AlarmRaised, Bounds
from collector.answer_events import AlarmAcknowledged
from collector.conclusions import PhaseBegan, PhaseEnded, Source
from collector.events import AnyEvent
from collector.lot_events import LotClosed, LotJudged, LotOpened, MarkWithdrawn, PhaseMarked
from collector.note_events import NoteTakenBack, NoteWritten
from collector.phases import Edge, Phase
from collector.priorities import Priority
from collector.readings import Channel, Quality, Reading, Role
from collector.service_events import (
    ClockFoundOff,
    CollectionResumed,
    ReadingsCameLate,
    ReadingsExpired,
)

JUG = "mole-jug"
NOTE = '=HYPERLINK("http://example.org";"a, b")'
"""What a spreadsheet would follow, with all that RFC 4180 wants quoted."""

CHANNELS = (
    Channel(SCALE, BENCH, Role.SCALE, 5 * S_US),
    Channel(JUG, BENCH, Role.PITCHER, 5 * S_US),
)
COUNT = 530
CLOSED_US = START_US + 600 * S_US


def sample_readings() -> list[Reading]:
    """Return the lot's readings in time order: two channels, every quality, a common moment."""
    scale = [
        Reading(SCALE, START_US + n * S_US, -3 * n + n * n % 97, Quality(n % 9 % 4))
        for n in range(COUNT)
    ]
    jug = [
        Reading(JUG, START_US + n * 2 * S_US + n % 2, 80_123 - n, Quality(0 if n % 7 else 3))
        for n in range(COUNT // 2)
    ]
    return sorted(scale + jug, key=lambda r: (r.taken_us, r.channel == JUG))


def late_readings() -> list[Reading]:
    """Return what came late: between two readings, and after all of them."""
    moments = (START_US + 500, START_US + 590 * S_US)
    return [Reading(JUG, at_us, 70_000, late=True) for at_us in moments]


def sample_events() -> list[AnyEvent]:
    """Return the lot's journal up to its close."""
    opened_lot = LotOpened(
        at_us=START_US, recipe=RECIPE, vessels=6, channels=CHANNELS, bench=BENCH, lot=LOT
    )
    return [
        recipe_kept(),
        opened_lot,
        PhaseBegan(
            at_us=START_US + 60 * S_US, phase=Phase.STIR, pitcher=1,
            began_us=START_US + 60 * S_US, source=Source.MARK, bench=BENCH, lot=LOT,
        ),
        PhaseMarked(
            at_us=START_US + 60 * S_US, phase=Phase.STIR, edge=Edge.BEGIN, bench=BENCH, lot=LOT
        ),
        PhaseEnded(
            at_us=START_US + 90 * S_US, phase=Phase.STIR, pitcher=1,
            began_us=START_US + 60 * S_US, ended_us=START_US + 90 * S_US,
            duration_us=30 * S_US, source=Source.MARK, bench=BENCH, lot=LOT,
        ),
        weighing([r for r in sample_readings() if r.channel == SCALE][:5]),
        AlarmRaised(
            at_us=START_US + 95 * S_US, alarm="a", rule="pour-temperature",
            priority=Priority.HIGH, phase=Phase.POUR, pitcher=1, vessel=None, subject=JUG,
            limit=Bounds(57_000, 63_000), measured=66_500, unit="degC",
            message="Too hot.", advice="Wait.", bench=BENCH, lot=LOT,
        ),
        AlarmAcknowledged(at_us=START_US + 96 * S_US, alarm="a", note="seen", bench=BENCH, lot=LOT),
        AlarmCleared(
            at_us=START_US + 99 * S_US, alarm="a", outcome="It cooled.", bench=BENCH, lot=LOT
        ),
        CollectionResumed(
            at_us=START_US + 580 * S_US, since_us=START_US + 540 * S_US, bench=BENCH, lot=LOT
        ),
        ReadingsCameLate(
            at_us=START_US + 595 * S_US, from_us=START_US + 500, to_us=START_US + 590 * S_US,
            count=2, bench=BENCH, lot=LOT,
        ),
        ClockFoundOff(at_us=START_US + 596 * S_US, by_us=-2_500_000, bench=BENCH, lot=LOT),
        LotClosed(at_us=CLOSED_US, bench=BENCH, lot=LOT),
        LotJudged(at_us=CLOSED_US + S_US, good=False, note=NOTE, bench=BENCH, lot=LOT),
    ]  # fmt: skip


def second_thoughts() -> list[AnyEvent]:
    """Return that the mark was made by mistake, a note, and one that was taken back."""
    return [
        MarkWithdrawn(
            at_us=CLOSED_US, phase=Phase.STIR, edge=Edge.BEGIN, marked_us=START_US + 60 * S_US,
            bench=BENCH, lot=LOT,
        ),
        NoteWritten(at_us=CLOSED_US + 1, note="n1", text="One wick leans.", bench=BENCH, lot=LOT),
        NoteWritten(at_us=CLOSED_US + 2, note="n2", text="Two wicks lean.", bench=BENCH, lot=LOT),
        NoteTakenBack(at_us=CLOSED_US + 3, note="n2", reason="a slip", bench=BENCH, lot=LOT),
    ]  # fmt: skip


def removal() -> ReadingsExpired:
    """Return that readings of the lot's time were removed."""
    return ReadingsExpired(
        at_us=START_US + 40 * DAY_US, bench=None, lot=None, before_us=START_US + 1, readings=9
    )


async def keep_lot(folder: Path, *more: AnyEvent, seal: bool = True) -> Path:
    """Store the lot, most of it sealed, what came late as rows; return the folder."""
    with opened(folder) as store:
        await store.commit(sample_readings(), sample_events())
        if seal:
            await all_done(store, CLOSED_US + 30 * DAY_US)
        await store.commit(late_readings(), list(more))
    return folder


def all_readings() -> list[Reading]:
    """Return everything that was stored of the lot, in the order of an export."""
    kept = sample_readings() + late_readings()
    return sorted(kept, key=lambda r: (r.taken_us, r.channel == JUG))
