"""What happens at a bench, as the journal keeps it.

Given events come from outside (a person, a port, the service itself). Derived events are what
the bench concludes from them and from the readings: the same givens and readings always derive
the same events. Every event says when (`at_us`, UTC microseconds), at which bench and, where
there is one, in which lot.
"""

import msgspec

from collector.alarm_events import (
    AlarmCleared,
    AlarmFolded,
    AlarmRaised,
    AlarmReleased,
    AlarmRestored,
    AlarmSuppressed,
)
from collector.answer_events import (
    AlarmAcknowledged,
    AlarmReset,
    AlarmShelved,
    AlarmUnshelved,
    RulePutBack,
    RuleTakenOut,
)
from collector.conclusions import (
    FragranceApart,
    MarkContradicted,
    PhaseBegan,
    PhaseEnded,
    PhaseWithdrawn,
    WeighingAccepted,
    WeighingWithdrawn,
)
from collector.event_base import Event
from collector.lot_events import (
    LotClosed,
    LotJudged,
    LotKept,
    LotOpened,
    LotReleased,
    MarkWithdrawn,
    PhaseMarked,
    PotTold,
    PourDayPlanned,
    RecipeKept,
    RecipeRetired,
)
from collector.note_events import (
    NoteTakenBack,
    NoteWritten,
    PhotographKept,
    PhotographTakenBack,
)
from collector.service_events import (
    CalibrationWithdrawn,
    ClockFoundOff,
    ClockStepped,
    CollectionResumed,
    InstrumentCalibrated,
    InstrumentFound,
    InstrumentLost,
    ReadingsCameLate,
    ReadingsExpired,
    ReadingsLost,
)

AnyGiven = (
    RecipeKept
    | RecipeRetired
    | LotOpened
    | LotClosed
    | LotJudged
    | LotKept
    | LotReleased
    | NoteWritten
    | NoteTakenBack
    | PhotographKept
    | PhotographTakenBack
    | ReadingsExpired
    | PourDayPlanned
    | PotTold
    | PhaseMarked
    | MarkWithdrawn
    | AlarmAcknowledged
    | AlarmShelved
    | AlarmUnshelved
    | AlarmReset
    | RuleTakenOut
    | RulePutBack
    | InstrumentLost
    | InstrumentFound
    | InstrumentCalibrated
    | CalibrationWithdrawn
    | CollectionResumed
    | ReadingsLost
    | ClockStepped
    | ClockFoundOff
    | ReadingsCameLate
)
AnyDerived = (
    PhaseBegan
    | PhaseEnded
    | PhaseWithdrawn
    | MarkContradicted
    | WeighingAccepted
    | WeighingWithdrawn
    | FragranceApart
    | AlarmRaised
    | AlarmSuppressed
    | AlarmReleased
    | AlarmCleared
    | AlarmFolded
    | AlarmRestored
)
AnyEvent = AnyGiven | AnyDerived

_ENCODER = msgspec.json.Encoder(order="deterministic")
_DECODER: msgspec.json.Decoder[AnyEvent] = msgspec.json.Decoder(AnyEvent)


def encode(event: Event) -> bytes:
    """Return the event as JSON, the same bytes for the same event."""
    return _ENCODER.encode(event)


def decode(data: bytes) -> AnyEvent:
    """Return the event that `encode` made these bytes from.

    Raises msgspec.ValidationError where they are none.
    """
    return _DECODER.decode(data)
