"""How a sender of commits to another place stands, for a person and for a health page."""

from enum import StrEnum

import msgspec


class Sending(StrEnum):
    """What a sender does at the moment."""

    UP_TO_DATE = "up to date"
    CATCHING_UP = "catching up"
    AWAY = "away"  # the target does not answer or has too much to do
    MISCONFIGURED = "misconfigured"  # a person has to see to it


class SenderState(msgspec.Struct, frozen=True):
    """How a sender stands.

    `waiting` commits are still to be sent, `refused` points are set aside. `reason` says in a
    sentence why nothing is sent, None where all is well. Times are UTC microseconds, None before
    the first time; `trouble_us` is when the present trouble began.
    """

    target: str
    sending: Sending = Sending.CATCHING_UP
    waiting: int = 0
    refused: int = 0
    reason: str | None = None
    sent_us: int | None = None
    trouble_us: int | None = None

    @property
    def working(self) -> bool:
        """Whether it gets through."""
        return self.reason is None

    @property
    def sentence(self) -> str:
        """How it does, for a person."""
        aside = (
            f" {self.refused} points were refused there: GET /api/outbox shows them."
            if self.refused
            else ""
        )
        if self.reason is None:
            return f"Sending to {self.target}: {self.sending}.{aside}"
        return f"{self.reason} {self.waiting} commits wait to be sent.{aside}"
