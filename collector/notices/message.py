"""A message to people who are not at the page."""

from enum import StrEnum

import msgspec


class Kind(StrEnum):
    """What a message is for."""

    ALARMS = "alarms"
    DAILY_TEST = "daily test"
    TEST = "test"  # somebody asked for it and waits


class Message(msgspec.Struct, frozen=True):
    """A message as it is written once, for every target. `written_us` is UTC microseconds."""

    kind: Kind
    subject: str
    body: str
    written_us: int

    @property
    def is_test(self) -> bool:
        """Whether nothing happened but that the way is tried."""
        return self.kind is not Kind.ALARMS
