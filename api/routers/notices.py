"""Notices beyond the room over HTTP: how they stand, and a test of them."""

import asyncio
from contextlib import suppress

from fastapi import APIRouter

from api import notice_presenting, notice_shapes
from api.dependencies import Running
from collector.errors import ConflictError

router = APIRouter(prefix="/api/notices", tags=["notices"])

TEST_WAIT_S = 10.0
"""How long the answer to a test waits for all targets: most have answered by then."""

NOT_CONFIGURED = (
    "Nobody is told anything beyond this page: workshop.toml has no section [notices]."
    " The page /notices says how to write one."
)


@router.get("")
async def show_notices(workshop: Running) -> notice_shapes.NoticesShown:
    """Show who is told, how each target stands, the quiet hours and what they hold."""
    if workshop.notices is None:
        return notice_presenting.NONE
    return notice_presenting.notices(workshop.notices, workshop.clock.now_us())


@router.post("/test")
async def test_notices(workshop: Running) -> notice_shapes.NoticesShown:
    """Send a test to every target; what came of it stands with each, or "under way"."""
    if workshop.notices is None:
        raise ConflictError(NOT_CONFIGURED)
    workshop.notices.test()
    with suppress(TimeoutError):  # then it is shown as under way
        async with asyncio.timeout(TEST_WAIT_S):
            await workshop.notices.tested()
    return notice_presenting.notices(workshop.notices, workshop.clock.now_us())
