"""What is still to be sent elsewhere, and what was refused there, over HTTP."""

from fastapi import APIRouter
from pydantic import BaseModel, Field

from api.dependencies import Running
from api.instants import instant
from collector.store.consignments import Refusal
from collector.store.outbox import MOST_REFUSED
from collector.workshop import Sender

router = APIRouter(prefix="/api/outbox", tags=["outbox"])

LATEST = 20
"""Refusals that are shown: the newest."""


class RefusalShown(BaseModel):
    """A point that a target refused for good, in the form in which it was sent."""

    at: str
    reason: str
    point: str


class OutboxShown(BaseModel):
    """How the sending to one target stands."""

    target: str
    state: str = Field(description="up to date, catching up, away or misconfigured")
    reason: str | None = Field(description="why nothing is sent; null where all is well")
    waiting: int = Field(description="commits that are still to be sent")
    refused: int = Field(
        description=f"points that are set aside: the newest, no more than {MOST_REFUSED:,}"
    )
    last_sent_at: str | None
    trouble_since: str | None
    refusals: list[RefusalShown] = Field(description="the newest of what is set aside")


@router.get("")
async def list_outboxes(workshop: Running) -> list[OutboxShown]:
    """Show for each target what waits for it and what it refused."""
    return [await _shown(sender) for sender in workshop.senders]


async def _shown(sender: Sender) -> OutboxShown:
    state = sender.state
    refusals = await sender.outbox.refused(LATEST)
    return OutboxShown(
        target=state.target,
        state=state.sending.value,
        reason=state.reason,
        waiting=state.waiting,
        refused=state.refused,
        last_sent_at=None if state.sent_us is None else instant(state.sent_us),
        trouble_since=None if state.trouble_us is None else instant(state.trouble_us),
        refusals=[_refusal(refusal) for refusal in refusals],
    )


def _refusal(refusal: Refusal) -> RefusalShown:
    return RefusalShown(at=instant(refusal.refused_us), reason=refusal.reason, point=refusal.body)
