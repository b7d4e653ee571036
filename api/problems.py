"""Errors as RFC 9457 problem documents."""

from collections.abc import Mapping
from http import HTTPStatus

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from collector.errors import (
    ConflictError,
    DocumentError,
    NotFoundError,
    PourkeepError,
    StoreError,
)

MEDIA_TYPE = "application/problem+json"

STATUS = {
    ConflictError: HTTPStatus.CONFLICT,
    NotFoundError: HTTPStatus.NOT_FOUND,
    StoreError: HTTPStatus.SERVICE_UNAVAILABLE,
}


def problem(status: int, detail: str, extras: Mapping[str, object] | None = None) -> JSONResponse:
    """Return a problem document; its type is about:blank, so the title is the status' phrase."""
    body = {"type": "about:blank", "title": HTTPStatus(status).phrase, "status": status}
    return JSONResponse({**body, "detail": detail, **(extras or {})}, status, media_type=MEDIA_TYPE)


def install(app: FastAPI) -> None:
    """Answer every error of the application with a problem document."""
    app.add_exception_handler(PourkeepError, _pourkeep_error)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _http_error)


async def _pourkeep_error(_request: Request, error: Exception) -> JSONResponse:
    if isinstance(error, DocumentError):
        field = ".".join(["body", *(str(part) for part in error.field)])
        errors = [{"field": field, "problem": error.problem}]
        return problem(HTTPStatus.UNPROCESSABLE_ENTITY, error.message, {"errors": errors})
    status = next((s for kind, s in STATUS.items() if isinstance(error, kind)), 500)
    details = error.details if isinstance(error, ConflictError) else {}
    return problem(status, str(error), details)


async def _invalid(_request: Request, error: Exception) -> JSONResponse:
    complaints = error.errors() if isinstance(error, RequestValidationError) else []
    errors = [
        {"field": ".".join(str(part) for part in c["loc"]), "problem": c["msg"]} for c in complaints
    ]
    first = errors[0] if errors else {"field": "body", "problem": "not understood"}
    detail = f"{first['field']}: {first['problem']}"
    return problem(HTTPStatus.UNPROCESSABLE_ENTITY, detail, {"errors": errors})


async def _http_error(_request: Request, error: Exception) -> JSONResponse:
    status = error.status_code if isinstance(error, HTTPException) else 500
    detail = error.detail if isinstance(error, HTTPException) else str(error)
    response = problem(status, detail)
    if isinstance(error, HTTPException) and error.headers:
        response.headers.update(error.headers)
    return response
