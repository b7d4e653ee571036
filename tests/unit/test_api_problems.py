"""Errors as problem documents; the members and the media type are those of RFC 9457."""

import logging

import httpx
import pytest
from fastapi import FastAPI
from fastapi.responses import StreamingResponse

from api import problems
from api.head_requests import HeadRequests
from collector.errors import (
    ConflictError,
    DocumentError,
    LinkError,
    NotFoundError,
    PourkeepError,
    StoreError,
)

ERRORS: dict[str, Exception] = {
    "missing": NotFoundError("There is no lot 'x'."),
    "busy": ConflictError("Lot a-1 is open.", {"lot": "a-1"}),
    "disk": StoreError("The disk is full."),
    "wire": LinkError("The port is gone", "Plug it in"),
    "plain": PourkeepError(),
    "document": DocumentError("recipe", ["stir", "at_least"], "is not a duration"),
    "whole": DocumentError("recipe", [], "is no recipe"),
    "defect": ZeroDivisionError("secret detail"),
}


def failing_client() -> httpx.AsyncClient:
    """Return a client of an application whose every answer is one of `ERRORS`."""
    app = FastAPI()
    problems.install(app)

    @app.get("/fail/{which}")
    async def fail(which: str) -> int:
        raise ERRORS[which]

    @app.get("/count")
    async def count(number: int) -> int:
        return number

    @app.get("/half")
    async def half() -> StreamingResponse:
        async def content() -> object:
            yield b"half "
            raise ZeroDivisionError

        return StreamingResponse(content())  # type: ignore[arg-type]  # yields bytes, then fails

    app.add_middleware(HeadRequests)
    app.add_middleware(problems.Supervised)
    transport = httpx.ASGITransport(app=app, raise_app_exceptions=True)
    return httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1")


async def failed(which: str) -> httpx.Response:
    async with failing_client() as client:
        return await client.get(f"/fail/{which}")


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("which", "status", "title"),
    [
        ("missing", 404, "Not Found"),
        ("busy", 409, "Conflict"),
        ("disk", 503, "Service Unavailable"),
        ("wire", 500, "Internal Server Error"),
        ("plain", 500, "Internal Server Error"),
    ],
)
async def test_each_error_has_its_status_and_says_the_sentence(
    which: str, status: int, title: str
) -> None:
    answer = await failed(which)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    problem = answer.json()
    assert (problem["type"], problem["title"]) == ("about:blank", title)
    assert (problem["status"], problem["detail"]) == (status, str(ERRORS[which]))


@pytest.mark.asyncio
async def test_a_conflict_carries_what_resolves_it() -> None:
    assert (await failed("busy")).json()["lot"] == "a-1"


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("which", "field"), [("document", "body.stir.at_least"), ("whole", "body")]
)
async def test_a_document_error_names_its_field(which: str, field: str) -> None:
    answer = await failed(which)
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["field"] == field


@pytest.mark.asyncio
async def test_a_wrong_parameter_is_named() -> None:
    async with failing_client() as client:
        answer = await client.get("/count", params={"number": "many"})
    problem = answer.json()
    assert answer.status_code == 422
    assert problem["errors"][0]["field"] == "query.number"
    assert problem["detail"].startswith("query.number: ")


@pytest.mark.asyncio
async def test_no_such_page_and_no_such_method_are_problems_too() -> None:
    async with failing_client() as client:
        nowhere, wrong_way = await client.get("/nowhere"), await client.delete("/half")
    assert nowhere.json()["status"] == 404
    assert wrong_way.json()["status"] == 405
    assert wrong_way.headers["allow"] == "GET"  # RFC 9110, 15.5.6


@pytest.mark.asyncio
async def test_a_defect_is_logged_but_not_shown(caplog: pytest.LogCaptureFixture) -> None:
    answer = await failed("defect")
    assert answer.status_code == 500
    assert answer.headers["content-type"] == "application/problem+json"
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    (record,) = [r for r in caplog.records if r.levelno == logging.ERROR]
    assert record.getMessage() == "GET /fail/defect ran into a defect"
    assert record.exc_info is not None


@pytest.mark.asyncio
async def test_an_answer_that_fails_half_way_is_cut_off_not_completed() -> None:
    async with failing_client() as client:
        with pytest.raises(ZeroDivisionError):
            await client.get("/half")


@pytest.mark.asyncio
async def test_a_text_that_is_not_unicode_is_told_back_all_the_same() -> None:
    answer = problems.problem(422, "no unit \ud800")
    assert answer.body == (
        b'{"type": "about:blank", "title": "Unprocessable Entity", "status": 422, '
        b'"detail": "no unit \\ud800"}'
    )


@pytest.mark.asyncio
async def test_head_answers_like_get_without_content() -> None:
    async with failing_client() as client:
        missing = await client.head("/fail/missing")
        streamed = await client.head("/half")
    assert (missing.status_code, missing.content) == (404, b"")
    assert missing.headers["content-type"] == "application/problem+json"
    assert (streamed.status_code, streamed.content) == (200, b"")
