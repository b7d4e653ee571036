"""The screens: one page for every address, and its hashed files."""

from http import HTTPStatus
from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import FileResponse, PlainTextResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.types import Scope

NOT_BUILT = (
    "pourkeep collects and warns, but its screens were not built.\n"
    "Run ./deploy/run once without POURKEEP_NO_FRONT_END set, or use the API under /api.\n"
)

PATHS = (
    *("/", "/alarms", "/benches", "/health", "/lots", "/lots/{name}"),
    *("/pour-days", "/pour-days/{name}", "/screen"),
)
"""The addresses of the screens, as dashboards/src/places.ts knows them."""


class HashedFiles(StaticFiles):
    """Files whose names change with their content: a browser may keep them."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Return a file with its caching header."""
        response = await super().get_response(path, scope)
        if response.status_code == HTTPStatus.OK:
            response.headers["cache-control"] = "public, max-age=31536000, immutable"
        return response


def install(app: FastAPI, folder: Path) -> None:
    """Serve the screens from a folder; where it is empty, say so instead."""
    index = folder / "index.html"
    assets = folder / "assets"
    if assets.is_dir():
        app.mount("/assets", HashedFiles(directory=assets), name="assets")

    async def page() -> Response:
        if not index.is_file():
            return PlainTextResponse(NOT_BUILT, HTTPStatus.SERVICE_UNAVAILABLE)
        # A screen that stays open for weeks must get the new files after an update.
        return FileResponse(index, headers={"cache-control": "no-cache"})

    for path in PATHS:
        app.add_api_route(path, page, include_in_schema=False)
