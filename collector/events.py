"""What happens at a bench, as the journal keeps it.

Given events come from outside (a person, a port, the service itself). Derived events are what
the bench concludes from them and from the readings: the same givens and readings always derive
the same events. Every event says when (`at_us`, UTC microseconds), at which bench and, where
there is one, in which lot.
"""

from enum import StrEnum
from typing import Literal

import msgspec

from collector.attendance import Unattended
from collector.band import Band
from collector.display import Display
from collector.phases import Edge, PhaseName
from collector.pot import Pot
from collector.priorities import Priority
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


class OutOfService(msgspec.Struct, frozen=True):
    """A rule that a bench does not announce at present, for all or for one channel or phase."""

    rule: str
    subject: str | None
    reason: str


class LotOpened(Given, frozen=True, kw_only=True, tag="lot-opened"):
    """A lot began, with its own copy of all that its judgment depends on."""

    recipe: Recipe
    vessels: int
    channels: tuple[Channel, ...]
    display: Display = Display()
    unattended: Unattended | None = None
    band: Band | None = None
    out_of_service: tuple[OutOfService, ...] = ()
    pour_day: str | None = None
    pot: Pot | None = None


class LotClosed(Given, frozen=True, kw_only=True, tag="lot-closed"):
    """A person says that the bench is done with the lot."""


class LotJudged(Given, frozen=True, kw_only=True, tag="lot-judged"):
    """The maker says whether a lot came out well: good lots form the recipe's band."""

    good: bool
    note: str = ""


class LotKept(Given, frozen=True, kw_only=True, tag="lot-kept"):
    """A person says that the readings of a lot are to be kept for good."""

    note: str = ""


class LotReleased(Given, frozen=True, kw_only=True, tag="lot-released"):
    """A person says that the readings of a lot need not be kept any longer than others."""

    note: str = ""


class ReadingsExpired(Given, frozen=True, kw_only=True, tag="readings-expired"):
    """The store removed readings that nobody wants to keep.

    All of them were taken before `before_us`; readings of lots that were open or kept are not
    among them. Where space was the reason, `used_bytes` is what the store's file held after it.
    """

    before_us: int
    readings: int
    used_bytes: int | None = None


class PlannedLot(msgspec.Struct, frozen=True):
    """A lot of a pour day before it is opened."""

    recipe: Recipe
    vessels: int


class PourDayPlanned(Given, frozen=True, kw_only=True, tag="pour-day-planned"):
    """Several lots are to be made out of one pot, in this order; 0.001 g.

    `melted_mg` is the wax melted in the pot, None where nobody said; `residue_mg` is what stays
    on the pot's wall. A later event of the same day takes the place of an earlier one.
    """

    day: str
    lots: tuple[PlannedLot, ...]
    melted_mg: int | None
    residue_mg: int


class PotTold(Given, frozen=True, kw_only=True, tag="pot-told"):
    """An open lot's pour day was planned again; None where nobody knows now what the pot holds."""

    pot: Pot | None


class PhaseMarked(Given, frozen=True, kw_only=True, tag="phase-marked"):
    """A person says that a phase begins or ends."""

    phase: PhaseName
    edge: Edge
    aftercare: bool = False
    """Whether it concerns what a lot goes through after the bench is done with it."""


class AlarmAcknowledged(Given, frozen=True, kw_only=True, tag="alarm-acknowledged"):
    """A person has seen an alarm."""

    alarm: str
    note: str = ""


class AlarmShelved(Given, frozen=True, kw_only=True, tag="alarm-shelved"):
    """A person put an alarm aside until a time, and said why."""

    alarm: str
    until_us: int
    reason: str = ""


class AlarmUnshelved(Given, frozen=True, kw_only=True, tag="alarm-unshelved"):
    """A person took a shelved alarm up again before its time."""

    alarm: str


class AlarmReset(Given, frozen=True, kw_only=True, tag="alarm-reset"):
    """A person let go of a latched alarm whose limit holds again."""

    alarm: str


class RuleTakenOut(Given, frozen=True, kw_only=True, tag="rule-taken-out"):
    """A person took a rule out of service at a bench; `subject` narrows it to one channel."""

    rule: str
    subject: str | None
    reason: str


class RulePutBack(Given, frozen=True, kw_only=True, tag="rule-put-back"):
    """A person put a rule back into service."""

    rule: str
    subject: str | None


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


class ReadingsLost(Given, frozen=True, kw_only=True, tag="readings-lost"):
    """The store refused for so long that memory could not hold all readings of a time."""

    from_us: int
    to_us: int
    count: int


class ClockStepped(Given, frozen=True, kw_only=True, tag="clock-stepped"):
    """The service's time followed a step of the system's clock by `by_us`.

    `at_us` is the new time, `since_us` the old time of the same moment. The readings that
    belong to no lot and were taken since the start or the last step moved with it; what came
    before them, and lots, did not.
    """

    by_us: int
    since_us: int


class ClockFoundOff(Given, frozen=True, kw_only=True, tag="clock-found-off"):
    """The times of an open lot are wrong by `by_us`: so much is missing to the true time.

    None where they are known to be wrong, and nobody knows by how much. A later event of the
    lot takes the place of an earlier one. What it says about time that passed is true.
    """

    by_us: int | None


class ReadingsCameLate(Given, frozen=True, kw_only=True, tag="readings-came-late"):
    """Readings of a bench came when it had gone on: they are kept, and were not judged.

    They were taken from `from_us` to `to_us`, ends included.
    """

    from_us: int
    to_us: int
    count: int


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

    phase: PhaseName
    pitcher: int
    began_us: int
    source: Source
    rests_on: Evidence | None = None


class PhaseEnded(Derived, frozen=True, kw_only=True, tag="phase-ended"):
    """A phase ended. `duration_us` may be less than the span where it was interrupted."""

    phase: PhaseName
    pitcher: int
    began_us: int
    ended_us: int
    duration_us: int
    source: Source
    rests_on: Evidence | None = None


class MarkContradicted(Derived, frozen=True, kw_only=True, tag="mark-contradicted"):
    """The scale shows that a mark, made at `marked_us`, cannot be right; `why` says what it saw."""

    phase: PhaseName
    edge: Edge
    marked_us: int
    why: str


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


class PhaseWithdrawn(Derived, frozen=True, kw_only=True, tag="phase-withdrawn"):
    """What the scale had shown turned out to be something else: the phase has not been."""

    phase: PhaseName
    pitcher: int


class WeighingWithdrawn(Derived, frozen=True, kw_only=True, tag="weighing-withdrawn"):
    """The same of a weighing: nothing was weighed."""

    kind: WeighingKind
    pitcher: int
    vessel: int | None


class Bounds(msgspec.Struct, frozen=True):
    """What was allowed, in the unit of the quantity's resolution; None is no bound."""

    low: int | None
    high: int | None


Unit = Literal["degC", "degC/min", "g", "s", "count"]


class AlarmRaised(Derived, frozen=True, kw_only=True, tag="alarm-raised"):
    """A limit was violated.

    `limit` and `measured` are integers of 0.001 `unit`, but whole for `count`. `measured` is
    None where nothing was measured (a step skipped, an instrument silent).
    `subject` names the channel or instrument where there is one.
    """

    alarm: str
    rule: str
    priority: Priority
    phase: PhaseName | None
    pitcher: int | None
    vessel: int | None
    subject: str | None
    limit: Bounds
    measured: int | None
    unit: Unit
    message: str
    advice: str
    latched: bool = False


class AlarmSuppressed(Derived, frozen=True, kw_only=True, tag="alarm-suppressed"):
    """The instrument under an alarm went bad: nobody can tell whether it still holds.

    `by` is the alarm of the instrument.
    """

    alarm: str
    by: str


class AlarmReleased(Derived, frozen=True, kw_only=True, tag="alarm-released"):
    """The instrument under a suppressed alarm is good again."""

    alarm: str


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
    | LotJudged
    | LotKept
    | LotReleased
    | ReadingsExpired
    | PourDayPlanned
    | PotTold
    | PhaseMarked
    | AlarmAcknowledged
    | AlarmShelved
    | AlarmUnshelved
    | AlarmReset
    | RuleTakenOut
    | RulePutBack
    | InstrumentLost
    | InstrumentFound
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
    | AlarmRaised
    | AlarmSuppressed
    | AlarmReleased
    | AlarmCleared
    | AlarmFolded
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
