"""The shape of notices over HTTP. Times are RFC 3339 UTC, null before the first time."""

from typing import Literal

from pydantic import BaseModel, Field


class NoticeTestShown(BaseModel):
    """What came of a target's latest test."""

    outcome: Literal["under way", "sent", "failed"]
    at: str
    reason: str | None = Field(description="why it could not be sent; null where it was")


class NoticeTargetShown(BaseModel):
    """How one target stands; `target` is its kind and host and never the whole address."""

    target: str
    working: bool = Field(description="false while the latest attempt failed")
    reason: str | None = Field(description="why nothing gets through; null where all is well")
    trouble_since: str | None
    waiting: int = Field(description="messages that are still to be sent")
    sent: int = Field(description="messages sent since the start of the service")
    failed: int = Field(description="attempts that failed since the start of the service")
    lost: int = Field(description="messages that were given up since the start of the service")
    last_sent_at: str | None
    last_failed_at: str | None
    last_failure: str | None = Field(description="why the latest failure was one")
    test: NoticeTestShown | None


class QuietShown(BaseModel):
    """The quiet hours, by the workshop's wall clock; `until` is null outside of them."""

    begin: str
    end: str
    lets_high_through: bool
    now: bool
    until: str | None


class NoticesShown(BaseModel):
    """What is told beyond the room, to whom, and how it stands."""

    configured: bool = Field(description="false where workshop.toml has no [notices]")
    targets: list[NoticeTargetShown]
    from_priority: Literal["high", "medium", "low"] | None
    fold_seconds: float | None
    repeat_seconds: float | None = Field(description="null where nothing is told again")
    quiet: QuietShown | None
    next_test_at: str | None
    gathered: int = Field(description="alarms that are told together within moments")
    held: list[str] = Field(description="ids of alarms that wait for the end of the quiet hours")
