"""A lot as a file over HTTP."""

import asyncio
from collections.abc import AsyncIterator, Iterator
from typing import Any

from fastapi import APIRouter
from fastapi.responses import StreamingResponse

from api import export_shapes
from api.dependencies import Running
from api.export.formats import FORMATS, Format, FormatName, file_name
from api.export.lot_export import LotExport, Piece, read_export
from collector.errors import PourkeepError

router = APIRouter(prefix="/api/lots", tags=["lots"])

FILES: dict[int | str, dict[str, Any]] = {
    200: {
        "description": "The file; how its columns and lines are meant, the code's api/export says.",
        "content": {
            made.media_type: {"schema": {"type": "string", "format": "binary"}}
            for made in FORMATS.values()
        },
    }
}


@router.get("/{lot}/export", response_class=StreamingResponse, responses=FILES)
async def export_lot(
    workshop: Running,
    lot: str,
    format: FormatName,  # noqa: A002 - as it is asked
) -> StreamingResponse:
    """Give a lot's readings, weighings and events as a file.

    Its `Content-Disposition` (RFC 6266) names it. What was removed from the store is missing; the
    file says so itself. A file that breaks off is cut off, never ended as if it were whole.
    """
    chosen = FORMATS[format]
    chosen.check()
    export = await asyncio.to_thread(read_export, workshop.history, lot)
    return StreamingResponse(
        _bytes(chosen.pieces(export)),
        media_type=chosen.media_type,
        headers={
            # The name has only characters of a token, so it needs no second form for others.
            "Content-Disposition": f'attachment; filename="{file_name(export, chosen)}"',
            "Cache-Control": "no-store",
        },
    )


async def _bytes(pieces: Iterator[Piece]) -> AsyncIterator[bytes]:
    """Give the pieces as a client takes them, each made in a thread: the loop goes on.

    Whoever hangs up cancels this between two pieces, and no more are made.
    """
    while (piece := await asyncio.to_thread(next, pieces, None)) is not None:
        if piece.data:
            yield piece.data


@router.get("/{lot}/exports")
async def show_exports(workshop: Running, lot: str) -> export_shapes.ExportShown:
    """Show in which formats a lot can be had, and about how large each file becomes."""
    export = await asyncio.to_thread(read_export, workshop.history, lot)
    return export_shapes.ExportShown(
        lot=export.lot,
        readings=export.readings,
        readings_removed=export.removed,
        formats=[_shown(export, chosen) for chosen in FORMATS.values()],
    )


def _shown(export: LotExport, chosen: Format) -> export_shapes.FormatShown:
    try:
        chosen.check()
    except PourkeepError as error:
        unavailable: str | None = error.message
    else:
        unavailable = None
    return export_shapes.FormatShown(
        format=chosen.name,
        file=file_name(export, chosen),
        bytes=round(HEAD_BYTES + chosen.reading_bytes * export.readings),
        unavailable=unavailable,
    )


HEAD_BYTES = 10_000
"""About what comes before the readings: the record and, in JSON lines, the journal."""
