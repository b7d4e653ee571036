"""Who may come in: this machine's own browser without more, anybody else with a token."""

import secrets
from collections.abc import Sequence
from http import HTTPStatus
from urllib.parse import SplitResult, urlsplit

from fastapi import Request, Response
from fastapi.responses import RedirectResponse
from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.problems import problem

COOKIE = "pourkeep-token"
SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
LOOPBACK_NAMES = ("127.0.0.1", "localhost", "::1")
YEAR_S = 365 * 86_400

SECURITY_HEADERS = {
    "content-security-policy": (
        "default-src 'self'; style-src 'self'; img-src 'self' data:; "
        "frame-ancestors 'none'; base-uri 'none'; form-action 'self'"
    ),
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
}


class Guard:
    """Wraps the application. Without tokens only names of this machine are answered."""

    def __init__(self, app: ASGIApp, tokens: Sequence[str]) -> None:
        self._app = app
        self._tokens = tuple(tokens)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer with why not."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in SECURITY_HEADERS.items():
                    headers.setdefault(name, value)  # what an answer says of itself is stricter
            await send(message)

        refused = refusal(Request(scope), self._tokens)
        await (refused or self._app)(scope, receive, send_with_headers)


def refusal(request: Request, tokens: Sequence[str]) -> Response | None:
    """Return why a request may not come in, or None."""
    host = _split(f"//{request.headers.get('host', '')}")
    if not tokens and host.hostname not in LOOPBACK_NAMES:
        # A page of another site could reach this machine by a name of its own.
        return problem(HTTPStatus.FORBIDDEN, "Without tokens only this machine is served.")
    origin = request.headers.get("origin")
    changes = request.method not in SAFE_METHODS
    if changes and origin is not None and _split(origin).netloc != host.netloc:
        return problem(HTTPStatus.FORBIDDEN, "Another site's page may not change anything.")
    return _refuse_token(request, tokens) if tokens else None


def _refuse_token(request: Request, tokens: Sequence[str]) -> Response | None:
    shown = request.query_params.get("token")
    if shown is not None and request.method == "GET" and not _is_api(request):
        return _take_token(request, shown, tokens)
    if _known(_bearer(request), tokens) or _known(request.cookies.get(COOKIE, ""), tokens):
        return None
    return _unauthorized(
        "A token is needed: open this address once with ?token=… or send it as Bearer."
    )


def _take_token(request: Request, shown: str, tokens: Sequence[str]) -> Response:
    """Keep a token in a cookie, so that it does not stay in the address."""
    if not _known(shown, tokens):
        return _unauthorized("This token is not one of the workshop's.")
    # One slash: two would name another host.
    response = RedirectResponse(f"/{request.url.path.lstrip('/')}", HTTPStatus.SEE_OTHER)
    response.set_cookie(COOKIE, shown, httponly=True, samesite="strict", max_age=YEAR_S)
    return response


def _unauthorized(detail: str) -> Response:
    """Refuse for want of a token; RFC 9110, 11.6.1 asks for the header."""
    response = problem(HTTPStatus.UNAUTHORIZED, detail)
    response.headers["www-authenticate"] = "Bearer"
    return response


def _bearer(request: Request) -> str:
    scheme, _, token = request.headers.get("authorization", "").partition(" ")
    return token.strip() if scheme.casefold() == "bearer" else ""


def _split(address: str) -> SplitResult:
    """Split an address; one that makes no sense is that of nobody."""
    try:
        return urlsplit(address)
    except ValueError:
        return urlsplit("")


def _is_api(request: Request) -> bool:
    return request.url.path.startswith("/api/")


def _known(token: str, tokens: Sequence[str]) -> bool:
    return any(secrets.compare_digest(token.encode(), known.encode()) for known in tokens)
