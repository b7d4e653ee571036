"""Bodies that are too large or too slow: 413 and 408 of RFC 9110, as problem documents."""

import asyncio
from collections.abc import AsyncIterator

import httpx
import pytest
from fastapi import FastAPI

from api import body_limit, problems
from api.body_limit import MOST_BYTES, PICTURE_S, BodyLimit, Bound, bound_of
from collector import pictures


def application() -> FastAPI:
    app = FastAPI()
    problems.install(app)

    @app.post("/count")
    async def count(body: dict[str, str]) -> dict[str, int]:
        return {name: len(value) for name, value in body.items()}

    app.add_middleware(BodyLimit)
    return app


def client() -> httpx.AsyncClient:
    transport = httpx.ASGITransport(app=application())
    headers = {"content-type": "application/json"}
    return httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1", headers=headers)


def document(size: int) -> bytes:
    """Return a JSON document of so many bytes."""
    return b'{"a":"' + b"x" * (size - 8) + b'"}'


async def in_chunks(body: bytes, pause_s: float = 0.0) -> AsyncIterator[bytes]:
    """Give a body in pieces, so that the request tells no length."""
    for start in range(0, len(body), 100_000):
        await asyncio.sleep(pause_s)
        yield body[start : start + 100_000]


def assert_problem(answer: httpx.Response, status: int) -> None:
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["status"] == status


@pytest.mark.asyncio
async def test_a_body_of_the_most_bytes_is_taken_whole_and_in_chunks() -> None:
    async with client() as http:
        for body in (document(MOST_BYTES), in_chunks(document(MOST_BYTES))):
            answer = await http.post("/count", content=body)
            assert answer.json() == {"a": MOST_BYTES - 8}


@pytest.mark.asyncio
async def test_a_larger_body_is_refused_whether_it_tells_its_length_or_not() -> None:
    async with client() as http:
        for body in (document(MOST_BYTES + 1), in_chunks(document(MOST_BYTES + 1))):
            assert_problem(await http.post("/count", content=body), 413)


@pytest.mark.asyncio
async def test_a_body_that_does_not_come_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(body_limit, "USUAL", Bound(within_s=0.1))
    async with client() as http:
        answer = await http.post("/count", content=in_chunks(document(500_000), pause_s=0.05))
    assert_problem(answer, 408)


@pytest.mark.asyncio
@pytest.mark.parametrize("length", ["", "many", "-1"])
async def test_a_length_that_makes_no_sense_is_counted_as_it_comes(length: str) -> None:
    async with client() as http:
        headers = {"content-length": length}
        answer = await http.post("/count", content=document(20), headers=headers)
        assert answer.status_code == 200
        large = in_chunks(document(MOST_BYTES + 1))
        assert_problem(await http.post("/count", content=large, headers=headers), 413)


@pytest.mark.parametrize(
    ("path", "bound"),
    [
        ("/api/lots/2026-11-25-1/photographs", Bound(pictures.MOST_BYTES, PICTURE_S)),
        ("/api/lots/2026-11-25-1/photographs/p1/remove", Bound()),
        ("/api/lots/2026-11-25-1/notes", Bound()),
        ("/api/lots/a/b/photographs", Bound()),
    ],
)
def test_only_a_photograph_may_be_larger_and_slower(path: str, bound: Bound) -> None:
    assert bound_of(path) == bound
