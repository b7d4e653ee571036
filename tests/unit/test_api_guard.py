"""Who may come in. Header forms by RFC 9110 and RFC 6750, cookie attributes by RFC 6265."""

import httpx
import pytest
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from api.guard import COOKIE, SECURITY_HEADERS, Guard

TOKEN = "kelp-and-driftwood-41"  # noqa: S105 - a token of the test's own
OTHER = "pebble-and-foam-4242"
HOME = "http://127.0.0.1:8420"
ABROAD = "http://workshop.example:8420"


async def inside(scope: Scope, receive: Receive, send: Send) -> None:
    """Stand for the application behind the guard."""
    await PlainTextResponse("inside")(scope, receive, send)


def visitor(tokens: tuple[str, ...] = (), base: str = HOME) -> httpx.AsyncClient:
    app: ASGIApp = Guard(inside, tokens)
    return httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url=base)


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "host",
    ["127.0.0.1", "127.0.0.1:8420", "localhost:8420", "LOCALHOST", "[::1]:8420"],
)
async def test_without_tokens_this_machines_names_come_in(host: str) -> None:
    async with visitor() as client:
        answer = await client.get("/", headers={"host": host})
    assert (answer.status_code, answer.text) == (200, "inside")


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "host",
    [
        "workshop.example",
        "127.0.0.1.workshop.example",
        "localhost.workshop.example:8420",
        "192.168.1.5:8420",
        "workshop.example@127.0.0.1.example",
        "",
        "[::1",
        "[",
    ],
)
async def test_without_tokens_any_other_name_is_refused(host: str) -> None:
    async with visitor() as client:
        answer = await client.get("/", headers={"host": host})
    assert answer.status_code == 403
    assert answer.headers["content-type"] == "application/problem+json"


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "origin",
    ["http://elsewhere.example", "http://127.0.0.1:9999", "null", "http://[broken", ""],
)
async def test_another_sites_page_may_not_change_anything(origin: str) -> None:
    async with visitor() as client:
        for method in ("POST", "PUT", "PATCH", "DELETE"):
            answer = await client.request(method, "/api/lots", headers={"origin": origin})
            assert answer.status_code == 403, method


@pytest.mark.asyncio
async def test_the_own_page_and_programs_without_a_page_may_change_things() -> None:
    async with visitor() as client:
        own = await client.post("/api/lots", headers={"origin": HOME})
        program = await client.post("/api/lots")
    assert (own.status_code, program.status_code) == (200, 200)


@pytest.mark.asyncio
async def test_another_sites_page_may_not_change_anything_with_a_token_either() -> None:
    async with visitor((TOKEN,), ABROAD) as client:
        client.cookies.set(COOKIE, TOKEN)
        answer = await client.post("/api/lots", headers={"origin": "http://elsewhere.example"})
    assert answer.status_code == 403


@pytest.mark.asyncio
@pytest.mark.parametrize("scheme", ["Bearer", "bearer", "BEARER"])
async def test_a_bearer_token_opens_whatever_the_case_of_its_scheme(scheme: str) -> None:
    async with visitor((OTHER, TOKEN), ABROAD) as client:
        answer = await client.get("/api/lots", headers={"authorization": f"{scheme} {TOKEN}"})
    assert answer.text == "inside"


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"authorization": ""},
        {"authorization": "Bearer"},
        {"authorization": "Bearer "},
        {"authorization": TOKEN},
        {"authorization": f"Basic {TOKEN}"},
        {"authorization": f"Bearer {TOKEN[:-1]}"},
        {"authorization": f"Bearer {TOKEN}x"},
        {"cookie": f"{COOKIE}={OTHER}"},
    ],
)
async def test_without_a_known_token_nobody_comes_in_and_hears_how(headers: dict[str, str]) -> None:
    async with visitor((TOKEN,), ABROAD) as client:
        answer = await client.get("/api/lots", headers=headers)
    assert answer.status_code == 401
    assert answer.headers["www-authenticate"] == "Bearer"  # RFC 9110, 11.6.1: must be there
    assert "token" in answer.json()["detail"]


@pytest.mark.asyncio
async def test_a_token_in_the_address_moves_into_a_cookie_and_out_of_the_address() -> None:
    async with visitor((TOKEN,), ABROAD) as client:
        first = await client.get("/lots", params={"token": TOKEN})
        assert (first.status_code, first.headers["location"]) == (303, "/lots")
        attributes = first.headers["set-cookie"].casefold()
        assert "httponly" in attributes
        assert "samesite=strict" in attributes
        second = await client.get("/lots")
    assert second.text == "inside"


@pytest.mark.asyncio
async def test_a_wrong_token_in_the_address_sets_no_cookie() -> None:
    async with visitor((TOKEN,), ABROAD) as client:
        answer = await client.get("/", params={"token": OTHER})
    assert answer.status_code == 401
    assert "set-cookie" not in answer.headers


@pytest.mark.asyncio
async def test_a_token_in_the_address_opens_pages_only() -> None:
    async with visitor((TOKEN,), ABROAD) as client:
        answer = await client.get("/api/lots", params={"token": TOKEN})
    assert answer.status_code == 401


@pytest.mark.asyncio
async def test_the_redirect_never_leads_to_another_host() -> None:
    async with visitor((TOKEN,), ABROAD) as client:
        address = httpx.URL(f"{ABROAD}//elsewhere.example/x?token={TOKEN}")
        answer = await client.get(address)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/elsewhere.example/x"


@pytest.mark.asyncio
async def test_every_answer_keeps_foreign_content_out() -> None:
    async with visitor() as client:
        for answer in (
            await client.get("/"),
            await client.get("/", headers={"host": "workshop.example"}),
        ):
            for name, value in SECURITY_HEADERS.items():
                assert answer.headers[name] == value
            policy = answer.headers["content-security-policy"]
            assert "default-src 'self'" in policy
            assert "unsafe-inline" not in policy
