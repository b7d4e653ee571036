"""HEAD requests: what GET would answer, without its content (RFC 9110, 9.3.2)."""

from starlette.types import ASGIApp, Message, Receive, Scope, Send


class _Answered(Exception):  # noqa: N818 - no error: it ends a stream that nobody will read
    """The headers are out, and there is no more to send."""


class HeadRequests:
    """Wraps the application, which then needs to know GET only."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a HEAD request by the head of the answer to GET; pass others on."""
        if scope["type"] != "http" or scope["method"] != "HEAD":
            await self._app(scope, receive, send)
            return

        async def send_head(message: Message) -> None:
            if message["type"] == "http.response.start":
                await send(message)
                await send({"type": "http.response.body", "body": b""})
            elif message.get("more_body"):
                raise _Answered

        try:
            await self._app({**scope, "method": "GET"}, receive, send_head)
        except _Answered:
            return
