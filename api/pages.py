"""The screens: one page for every address, and its hashed files."""

from http import HTTPStatus
from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import FileResponse, PlainTextResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

NOT_BUILT = (
    "pourkeep collects and warns, but its screens were not built.\n"
    "Run ./deploy/run once without POURKEEP_NO_FRONT_END set, or use the API under /api.\n"
)

PATHS = (
    *("/", "/alarms", "/benches", "/health", "/instruments", "/instruments/{name}"),
    *("/lots", "/lots/{name}", "/new-recipe", "/notices", "/pour-days", "/pour-days/{name}"),
    *("/recipes", "/recipes/{name:path}", "/screen"),
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


class Elsewhere:
    """Answers at addresses that nothing is at: a page for a person, a problem for a program."""

    def __init__(self, refuse: ASGIApp, index: Path) -> None:
        self._refuse = refuse
        self._index = index

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request that no route takes."""
        answer: ASGIApp = self._refuse
        if scope["type"] == "http" and self._is_persons(Request(scope)):
            headers = {"cache-control": "no-cache"}
            answer = FileResponse(self._index, HTTPStatus.NOT_FOUND, headers)
        await answer(scope, receive, send)

    def _is_persons(self, request: Request) -> bool:
        asks = request.method == "GET" and "text/html" in request.headers.get("accept", "")
        return asks and not request.url.path.startswith(("/api/", "/assets/"))


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
    if index.is_file():
        app.router.default = Elsewhere(app.router.default, index)
