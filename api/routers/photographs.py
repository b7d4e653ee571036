"""Photographs of a lot over HTTP: bytes in, bytes out."""

import asyncio
from http import HTTPStatus
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from api import note_presenting
from api.dependencies import Running
from api.instants import instant
from api.note_reading import standing, standing_photograph
from api.note_shapes import MOST_CAPTION, PhotographShown, TakeBackRequest
from collector.errors import ConflictError, NotFoundError
from collector.lot_notes import LotNotes, Photograph
from collector.note_events import PhotographKept, PhotographTakenBack
from collector.pictures import MediaType, recognize
from collector.store.history import History
from collector.store.pictures import digest_of

MOST_SHOWN = 50
"""Photographs of one lot: of each vessel one, and some of the wax."""

router = APIRouter(prefix="/api/lots/{lot}/photographs", tags=["lots"])

_BINARY = {kind.value: {"schema": {"type": "string", "format": "binary"}} for kind in MediaType}
_PICTURE: dict[str, Any] = {"requestBody": {"required": True, "content": _BINARY}}
_SHOWN: dict[int | str, dict[str, Any]] = {200: {"content": _BINARY}}

FOR_GOOD = "private, max-age=31536000, immutable"
"""A photograph never changes under its address, and is nobody's business on the way."""

NOTHING_RUNS = "default-src 'none'; sandbox; frame-ancestors 'none'"
"""Should a browser ever take the bytes for a page, nothing in it can run or load."""


@router.post(
    "",
    status_code=201,
    openapi_extra=_PICTURE,
    responses={200: {"description": "The lot shows this very picture already."}},
)
async def keep_photograph(
    workshop: Running,
    lot: str,
    request: Request,
    response: Response,
    caption: Annotated[str, Query(max_length=MOST_CAPTION)] = "",
) -> PhotographShown:
    """Keep a JPEG, PNG or WebP with a lot, byte for byte, metadata included.

    The kind is told by the bytes, not by what the request calls them. Sent again, the same
    picture is not kept twice.
    """
    body = await request.body()
    picture, digest = recognize(body), digest_of(body)
    async with workshop.noting:
        opened, notes = await standing(workshop, lot)
        known = notes.same(digest)
        if known is not None:
            response.status_code = HTTPStatus.OK
            return note_presenting.photograph(known)
        _refuse_full(notes, lot)
        await workshop.lay_down(body)

        def kept(at_us: int) -> PhotographKept:
            return PhotographKept(
                at_us=at_us,
                bench=opened.bench,
                lot=lot,
                photograph=notes.next_photograph,
                digest=digest,
                media_type=picture.media_type.value,
                size=len(body),
                width=picture.width,
                height=picture.height,
                caption=caption.strip(),
            )

        given = await workshop.pipeline.give(opened.bench, kept)
    return note_presenting.photograph(Photograph(kept(given.at_us)))


@router.get("/{photograph}", response_class=Response, responses=_SHOWN)
async def show_photograph(workshop: Running, lot: str, photograph: str) -> Response:
    """Show a photograph's bytes; 404 once it was taken back."""
    kept, body = await asyncio.to_thread(_read, workshop.history, lot, photograph)
    name = f"{lot}-{photograph}.{MediaType(kept.media_type).ending}"
    headers = {
        "cache-control": FOR_GOOD,
        "content-disposition": f'inline; filename="{name}"',
        "content-security-policy": NOTHING_RUNS,
        "cross-origin-resource-policy": "same-origin",  # for no other site's page to show
    }
    return Response(body, media_type=kept.media_type, headers=headers)


@router.post("/{photograph}/remove")
async def take_photograph_back(
    workshop: Running, lot: str, photograph: str, wanted: TakeBackRequest
) -> PhotographShown:
    """Take a photograph back: its bytes are deleted, the journal keeps that it was there."""
    async with workshop.noting:
        opened, notes = await standing(workshop, lot)
        found = standing_photograph(notes, lot, photograph)

        def taken_back(at_us: int) -> PhotographTakenBack:
            return PhotographTakenBack(
                at_us=at_us,
                bench=opened.bench,
                lot=lot,
                photograph=photograph,
                digest=found.kept.digest,
                reason=wanted.reason,
            )

        given = await workshop.pipeline.give(opened.bench, taken_back)
    return note_presenting.photograph(Photograph(found.kept, taken_back(given.at_us)))


def _refuse_full(notes: LotNotes, lot: str) -> None:
    if len(notes.shown) >= MOST_SHOWN:
        raise ConflictError(
            f"Lot {lot} shows {MOST_SHOWN} photographs, and no more are kept with one lot. Take"
            " one of them back first."
        )


def _read(history: History, lot: str, photograph: str) -> tuple[PhotographKept, bytes]:
    """Return a photograph and its bytes. Raises NotFoundError."""
    notes = LotNotes().after(stored.event for stored in history.events(lot))
    found = notes.photographs.get(photograph)
    if found is None:
        raise NotFoundError(f"There is no photograph {photograph!r} of a lot {lot!r}.")
    if found.taken_back is not None:
        at, why = instant(found.taken_back.at_us), found.taken_back.reason
        raise NotFoundError(
            f"Photograph {photograph} of lot {lot} was taken back at {at}, and its bytes are"
            f" gone: {why}"
        )
    return found.kept, history.picture(lot, photograph)
