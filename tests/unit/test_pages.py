"""The service serves every page that the screens know, and says where there is none."""

import re
from pathlib import Path

import httpx
import pytest
from fastapi import FastAPI

from api import pages, problems
from api.pages import PATHS

PLACES = Path(__file__).resolve().parents[2] / "dashboards" / "src" / "places.ts"


def test_the_service_and_the_screens_know_the_same_pages() -> None:
    table = PLACES.read_text(encoding="utf-8").split("const PATHS")[1].split("};")[0]
    known = re.findall(r'^  "(/[^"]*)":', table, re.MULTILINE)
    served = [path.replace(":path", "") for path in PATHS]  # a name may have slashes in it
    assert sorted(served) == sorted(path.replace("*", "{name}") for path in known)


@pytest.mark.asyncio
async def test_a_mistyped_address_is_a_page_for_a_person_and_a_problem_for_a_program(
    tmp_path: Path,
) -> None:
    (tmp_path / "index.html").write_text("<title>pourkeep</title>", encoding="utf-8")
    app = FastAPI()
    problems.install(app)
    pages.install(app, tmp_path)
    transport = httpx.ASGITransport(app=app)
    async with httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1") as http:
        person = await http.get("/lotz", headers={"accept": "text/html,*/*"})
        assert (person.status_code, person.text) == (404, "<title>pourkeep</title>")
        for program in (
            await http.get("/lotz"),
            await http.get("/api/lotz", headers={"accept": "text/html"}),
            await http.post("/lotz", headers={"accept": "text/html"}),
        ):
            assert program.status_code == 404
            assert program.headers["content-type"] == "application/problem+json"
