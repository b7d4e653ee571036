"""Errors as RFC 9457 problem documents."""

import json
import logging
from collections.abc import Mapping
from http import HTTPStatus
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from collector.errors import (
    ConflictError,
    DocumentError,
    NotFoundError,
    PictureError,
    PourkeepError,
    RemoteStoreError,
    StoreError,
)

_LOG = logging.getLogger(__name__)

MEDIA_TYPE = "application/problem+json"

_TEXT = {"type": "string"}
SCHEMA: dict[str, Any] = {
    "type": "object",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "type": _TEXT,
        "title": _TEXT,
        "status": {"type": "integer"},
        "detail": _TEXT,
        "errors": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["field", "problem"],
                "properties": {"field": _TEXT, "problem": _TEXT},
            },
        },
    },
}
"""RFC 9457, and what is added to it for a body that was not understood."""

RESPONSES: dict[int | str, dict[str, Any]] = {
    kind: {"description": meaning, "content": {MEDIA_TYPE: {"schema": SCHEMA}}}
    for kind, meaning in {
        "4XX": "The request was refused; `detail` says why.",
        "5XX": "The service could not do it; `detail` says why.",
    }.items()
}
"""How OpenAPI tells of problem documents."""

STATUS = {
    ConflictError: HTTPStatus.CONFLICT,
    NotFoundError: HTTPStatus.NOT_FOUND,
    PictureError: HTTPStatus.UNSUPPORTED_MEDIA_TYPE,
    StoreError: HTTPStatus.SERVICE_UNAVAILABLE,
    RemoteStoreError: HTTPStatus.SERVICE_UNAVAILABLE,
}


class Problem(JSONResponse):
    """A problem document, in ASCII: a caller's broken text can be told back to it."""

    media_type = MEDIA_TYPE

    def render(self, content: object) -> bytes:
        """Return the document's bytes."""
        return json.dumps(content, ensure_ascii=True).encode("ascii")


def problem(status: int, detail: str, extras: Mapping[str, object] | None = None) -> Problem:
    """Return a problem document; its type is about:blank, so the title is the status' phrase."""
    body = {"type": "about:blank", "title": HTTPStatus(status).phrase, "status": status}
    return Problem({**body, "detail": detail, **(extras or {})}, status)


class Supervised:
    """Wraps the application: an error that nobody foresaw is logged and answered, not shown.

    This is the supervision point of all requests; one that fails leaves the others alone.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on."""
        begun = False

        async def send_on(message: Message) -> None:
            nonlocal begun
            begun = True
            await send(message)

        try:
            await self._app(scope, receive, send_on)
        except Exception:
            if begun or scope["type"] != "http":
                raise  # half an answer is cut off, so that nobody takes it for a whole one
            _LOG.exception("%s %s ran into a defect", scope["method"], scope["path"])
            await _DEFECT(scope, receive, send)


_DEFECT = problem(
    HTTPStatus.INTERNAL_SERVER_ERROR,
    "The service ran into a defect of its own. Its log says more; please report it.",
)


def install(app: FastAPI) -> None:
    """Answer every error of the application with a problem document."""
    app.add_exception_handler(PourkeepError, _pourkeep_error)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _http_error)


async def _pourkeep_error(_request: Request, error: Exception) -> Problem:
    if isinstance(error, DocumentError):
        field = ".".join(["body", *(str(part) for part in error.field)])
        errors = [{"field": field, "problem": error.problem}]
        return problem(HTTPStatus.UNPROCESSABLE_ENTITY, error.message, {"errors": errors})
    status = next((s for kind, s in STATUS.items() if isinstance(error, kind)), 500)
    details = error.details if isinstance(error, ConflictError) else {}
    return problem(status, str(error), details)


async def _invalid(_request: Request, error: Exception) -> Problem:
    complaints = error.errors() if isinstance(error, RequestValidationError) else []
    errors = [
        {"field": ".".join(str(part) for part in c["loc"]), "problem": c["msg"]} for c in complaints
    ]
    first = errors[0] if errors else {"field": "body", "problem": "not understood"}
    detail = f"{first['field']}: {first['problem']}"
    return problem(HTTPStatus.UNPROCESSABLE_ENTITY, detail, {"errors": errors})


async def _http_error(_request: Request, error: Exception) -> Problem:
    status = error.status_code if isinstance(error, HTTPException) else 500
    detail = error.detail if isinstance(error, HTTPException) else str(error)
    response = problem(status, detail)
    if isinstance(error, HTTPException) and error.headers:
        response.headers.update(error.headers)
    return response
