"""What happens at a bench, as the journal keeps it.

Given events come from outside (a person, a port, the service itself). Derived events are what
the bench concludes from them and from the readings: the same givens and readings always derive
the same events. Every event says when (`at_us`, UTC microseconds), at which bench and, where
there is one, in which lot.
"""

from enum import StrEnum
from typing import Literal

import msgspec

from collector.display import Display
from collector.phases import Edge, Phase
from collector.readings import Channel
from collector.recipes import Recipe


class Event(msgspec.Struct, frozen=True, kw_only=True):
    """Anything that the journal keeps."""

    at_us: int
    bench: str | None
    lot: str | None


class Given(Event, frozen=True, kw_only=True):
    """Came from outside: the input of a replay."""


class Derived(Event, frozen=True, kw_only=True):
    """Concluded by the bench: the output of a replay."""


# ---------------------------------------------------------------- given


class RecipeKept(Given, frozen=True, kw_only=True, tag="recipe-kept"):
    """A recipe was added or changed; `document` is its JSON as it came in."""

    recipe: Recipe
    document: msgspec.Raw


class LotOpened(Given, frozen=True, kw_only=True, tag="lot-opened"):
    """A lot began, with its own copy of all that its judgment depends on."""

    recipe: Recipe
    vessels: int
    channels: tuple[Channel, ...]
    display: Display = Display()


class LotClosed(Given, frozen=True, kw_only=True, tag="lot-closed"):
    """A person says that the bench is done with the lot."""


class PhaseMarked(Given, frozen=True, kw_only=True, tag="phase-marked"):
    """A person says that a phase begins or ends."""

    phase: Phase
    edge: Edge


class AlarmAcknowledged(Given, frozen=True, kw_only=True, tag="alarm-acknowledged"):
    """A person has seen an alarm."""

    alarm: str
    note: str = ""


class AlarmShelved(Given, frozen=True, kw_only=True, tag="alarm-shelved"):
    """A person put an alarm aside until a time."""

    alarm: str
    until_us: int


class InstrumentLost(Given, frozen=True, kw_only=True, tag="instrument-lost"):
    """The port of an instrument failed."""

    instrument: str
    reason: str
    remedy: str


class InstrumentFound(Given, frozen=True, kw_only=True, tag="instrument-found"):
    """The port of an instrument works again."""

    instrument: str


class CollectionResumed(Given, frozen=True, kw_only=True, tag="collection-resumed"):
    """The service was away: nothing was collected from `since_us` until this event."""

    since_us: int


# -------------------------------------------------------------- derived


class Evidence(msgspec.Struct, frozen=True):
    """The readings that a conclusion rests on: those of one channel in a span, ends included."""

    channel: str
    from_us: int
    to_us: int
    readings: int


class Source(StrEnum):
    """How a phase is known."""

    MARK = "mark"
    SCALE = "scale"
    GAP = "gap"  # the longest that the time before the pour allows


class PhaseBegan(Derived, frozen=True, kw_only=True, tag="phase-began"):
    """A phase began, at `began_us`, for the given pitcher of the lot (from 1)."""

    phase: Phase
    pitcher: int
    began_us: int
    source: Source


class PhaseEnded(Derived, frozen=True, kw_only=True, tag="phase-ended"):
    """A phase ended. `duration_us` may be less than the span where it was interrupted."""

    phase: Phase
    pitcher: int
    began_us: int
    ended_us: int
    duration_us: int
    source: Source


class WeighingKind(StrEnum):
    """What was weighed."""

    WAX = "wax"
    FRAGRANCE = "fragrance"
    FILL = "fill"


class WeighingAccepted(Derived, frozen=True, kw_only=True, tag="weighing-accepted"):
    """A settled mass was accepted for the lot; 0.001 g. `revision` counts up from 0.

    A later event with the same kind, pitcher and vessel takes the place of an earlier one:
    the wax or the vessel was topped up.
    """

    kind: WeighingKind
    pitcher: int
    vessel: int | None
    mass_mg: int
    target_mg: int
    tolerance_mg: int
    evidence: Evidence
    revision: int = 0


class Priority(StrEnum):
    """How soon an alarm wants an answer."""

    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"


class Bounds(msgspec.Struct, frozen=True):
    """What was allowed, in the unit of the quantity's resolution; None is no bound."""

    low: int | None
    high: int | None


Unit = Literal["degC", "g", "s", "count"]


class AlarmRaised(Derived, frozen=True, kw_only=True, tag="alarm-raised"):
    """A limit was violated.

    `limit` and `measured` are integers of 0.001 `unit`, but whole for `count`. `measured` is
    None where nothing was measured (a step skipped, an instrument silent).
    `subject` names the channel or instrument where there is one.
    """

    alarm: str
    rule: str
    priority: Priority
    phase: Phase | None
    pitcher: int | None
    vessel: int | None
    subject: str | None
    limit: Bounds
    measured: int | None
    unit: Unit
    message: str
    advice: str


class AlarmCleared(Derived, frozen=True, kw_only=True, tag="alarm-cleared"):
    """The limit holds again, or can no longer be judged; `outcome` says what happened."""

    alarm: str
    outcome: str


class AlarmFolded(Derived, frozen=True, kw_only=True, tag="alarm-folded"):
    """An alarm turned out to be a consequence or first sign of another one."""

    alarm: str
    into: str


AnyGiven = (
    RecipeKept
    | LotOpened
    | LotClosed
    | PhaseMarked
    | AlarmAcknowledged
    | AlarmShelved
    | InstrumentLost
    | InstrumentFound
    | CollectionResumed
)
AnyDerived = PhaseBegan | PhaseEnded | WeighingAccepted | AlarmRaised | AlarmCleared | AlarmFolded
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
