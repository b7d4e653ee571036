"""The screens as files: one page for its addresses, hashed files beside it."""

from pathlib import Path

import httpx
import pytest
from fastapi import FastAPI

from api import pages, problems
from api.head_requests import HeadRequests

INDEX = "<!doctype html><title>screens</title>"


@pytest.fixture
def built(tmp_path: Path) -> Path:
    """Give a folder as the build of the screens leaves it."""
    folder = tmp_path / "dist"
    (folder / "assets").mkdir(parents=True)
    (folder / "index.html").write_text(INDEX)
    (folder / "assets" / "page-1a2b3c.js").write_text("export {};")
    (tmp_path / "secret.txt").write_text("not for the screens")
    return folder


def visitor(folder: Path) -> httpx.AsyncClient:
    app = FastAPI()
    problems.install(app)
    pages.install(app, folder)
    app.add_middleware(HeadRequests)
    return httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url="http://127.0.0.1")


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "path", ["/", "/lots", "/lots/2026-11-25-1", "/instruments", "/instruments/slip-jug"]
)
async def test_every_address_of_a_screen_gives_the_one_page_and_asks_again(
    built: Path, path: str
) -> None:
    async with visitor(built) as client:
        answer = await client.get(path)
    assert (answer.status_code, answer.text) == (200, INDEX)
    assert answer.headers["content-type"].startswith("text/html")
    assert answer.headers["cache-control"] == "no-cache"


@pytest.mark.asyncio
async def test_a_hashed_file_may_be_kept_for_ever(built: Path) -> None:
    async with visitor(built) as client:
        answer = await client.get("/assets/page-1a2b3c.js")
    assert answer.status_code == 200
    assert "immutable" in answer.headers["cache-control"]
    assert "javascript" in answer.headers["content-type"]


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "path", ["/assets/none.js", "/assets/..%2f..%2fsecret.txt", "/assets/%2e%2e/index.html", "/x"]
)
async def test_nothing_else_is_given(built: Path, path: str) -> None:
    async with visitor(built) as client:
        answer = await client.get(path)
    assert answer.status_code == 404
    assert answer.json()["status"] == 404
    assert "immutable" not in answer.headers.get("cache-control", "")


@pytest.mark.asyncio
async def test_screens_that_were_not_built_are_said(tmp_path: Path) -> None:
    async with visitor(tmp_path / "nowhere") as client:
        answer = await client.get("/")
    assert answer.status_code == 503
    assert "were not built" in answer.text


@pytest.mark.asyncio
async def test_head_gives_the_pages_headers_without_the_page(built: Path) -> None:
    async with visitor(built) as client:
        answer = await client.head("/")
    assert (answer.status_code, answer.content) == (200, b"")
    assert answer.headers["content-length"] == str(len(INDEX))
