"""How a target of notices stands, for a person and for a health page."""

from enum import StrEnum

import msgspec
from msgspec.structs import replace


class Outcome(StrEnum):
    """What became of a test."""

    UNDER_WAY = "under way"
    SENT = "sent"
    FAILED = "failed"


class LatestTest(msgspec.Struct, frozen=True):
    """The latest test of a target. `at_us` is when it came to its outcome, or was asked for."""

    outcome: Outcome
    at_us: int
    reason: str | None = None


class TargetState(msgspec.Struct, frozen=True):
    """How one target stands. Times are UTC microseconds, None before the first time.

    `waiting` messages are still to be sent there; `lost` were given up. `reason` says why the
    latest attempt failed, None where it did not; `trouble_us` is when the present trouble began.
    """

    target: str
    waiting: int = 0
    sent: int = 0
    failed: int = 0
    lost: int = 0
    sent_us: int | None = None
    failed_us: int | None = None
    failure: str | None = None
    """Why the latest failure was one, also where all is well again."""
    trouble_us: int | None = None
    reason: str | None = None
    test: LatestTest | None = None

    @property
    def working(self) -> bool:
        """Whether the latest message got through."""
        return self.reason is None

    @property
    def sentence(self) -> str:
        """How it does, for a person."""
        lost = f" {_messages(self.lost)} could not be sent at all." if self.lost else ""
        if self.reason is None:
            said = "is not tried yet" if self.sent_us is None else "gets what is sent"
            return f"Notices: {self.target} {said}.{lost}"
        waits = f" {_messages(self.waiting)} {'waits' if self.waiting == 1 else 'wait'}."
        todo = waits if self.waiting else " Put that right and send a test from the page /notices."
        return f"Notices do not get through to {self.target}: {self.reason}{todo}{lost}"

    def got_through(self, at_us: int) -> "TargetState":
        """Return how it stands after a message got through."""
        return replace(self, sent=self.sent + 1, sent_us=at_us, reason=None, trouble_us=None)

    def failed_for(self, reason: str, at_us: int) -> "TargetState":
        """Return how it stands after an attempt that failed."""
        return replace(
            self,
            failed=self.failed + 1,
            failed_us=at_us,
            failure=reason,
            reason=reason,
            trouble_us=self.trouble_us or at_us,
        )

    def tested(self, outcome: Outcome, at_us: int, reason: str | None) -> "TargetState":
        """Return how it stands after a test came so far."""
        return replace(self, test=LatestTest(outcome, at_us, reason))


def _messages(n: int) -> str:
    return f"{n} message" if n == 1 else f"{n} messages"
