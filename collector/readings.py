"""A reading: one sample of one channel, and how far it can be trusted."""

from enum import IntEnum, StrEnum

import msgspec


class Quantity(StrEnum):
    """What is measured. Values travel as integers of the quantity's resolution."""

    TEMPERATURE = "temperature"  # 0.001 °C
    MASS = "mass"  # 0.001 g
    HUMIDITY = "humidity"  # 0.001 %RH
    PRESSURE = "pressure"  # 1 Pa


class Quality(IntEnum):
    """How far a reading can be trusted; the larger, the less."""

    GOOD = 0
    IN_MOTION = 1  # the instrument itself says that it has not settled
    SUSPECT = 2  # a number that the instrument flags, for example under zero
    BAD = 3  # no usable number: overload, fault, failed check; value is 0


class Sample(msgspec.Struct, frozen=True, gc=False):
    """What a decoder makes of one message on the wire, before anyone knows when or whose.

    `value` is in the resolution of `quantity`, see `Quantity`.
    """

    quantity: Quantity
    value: int
    quality: Quality = Quality.GOOD


class Reading(msgspec.Struct, frozen=True, gc=False):
    """One sample of one channel.

    `taken_us` is UTC in microseconds since 1970. At one bench no two readings share a
    microsecond: the pipeline moves the later one, so that time alone orders a replay.

    `late` says that it came when its bench had gone on: kept and shown, not judged.
    """

    channel: str
    taken_us: int
    value: int
    quality: Quality = Quality.GOOD
    late: bool = False


class Role(StrEnum):
    """What a channel is used for at its bench."""

    SCALE = "scale"
    PITCHER = "pitcher"
    POT = "pot"
    ROOM = "room"


ROLE_QUANTITY = {
    Role.SCALE: Quantity.MASS,
    Role.PITCHER: Quantity.TEMPERATURE,
    Role.POT: Quantity.TEMPERATURE,
    Role.ROOM: Quantity.TEMPERATURE,
}


class Channel(msgspec.Struct, frozen=True):
    """One measured quantity of one instrument; it carries the instrument's name.

    `silent_after_us` is how long the channel may give no reading before that is an alarm;
    None for an instrument that speaks only when a person does (kind `manual`).
    """

    name: str
    bench: str
    role: Role
    silent_after_us: int | None

    @property
    def typed(self) -> bool:
        """Whether a person types its readings in."""
        return self.silent_after_us is None

    @property
    def quantity(self) -> Quantity:
        """What this channel measures."""
        return ROLE_QUANTITY[self.role]
