"""Targets of notices on this machine: a real SMTP server and a web hook, each with its port."""

import json
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, cast

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session


def free_port() -> int:
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        port: int = sock.getsockname()[1]
        return port


class MailServer:
    """A mail server that keeps what it is given."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.mails: list[EmailMessage] = []
        self._controller = Controller(self, hostname="127.0.0.1", port=port)

    @property
    def url(self) -> str:
        """How it is written into workshop.toml."""
        query = "from=pourkeep@pier.example&to=maker@pier.example&mode=insecure&format=text"
        return f"mailto://127.0.0.1:{self.port}?{query}"

    async def handle_DATA(self, _server: SMTP, _session: Session, envelope: Envelope) -> str:  # noqa: N802 - the server's own name
        """Keep a mail."""
        content = envelope.content
        assert isinstance(content, bytes)
        self.mails.append(message_from_bytes(content, policy=default))
        return "250 OK"

    def start(self) -> None:
        """Listen."""
        self._controller.start()

    def stop(self) -> None:
        """Listen no more."""
        self._controller.stop()


@contextmanager
def mail_server(port: int) -> Iterator[MailServer]:
    server = MailServer(port)
    server.start()
    try:
        yield server
    finally:
        server.stop()


class Hook(BaseHTTPRequestHandler):
    """Takes one message."""

    def do_POST(self) -> None:
        length = int(self.headers["content-length"])
        body = json.loads(self.rfile.read(length))
        cast("HookServer", self.server).got.append(body)
        self.send_response(200)
        self.end_headers()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the server's own name
        """Say nothing."""


class HookServer(ThreadingHTTPServer):
    """A web hook that keeps what it is given."""

    def __init__(self, port: int) -> None:
        self.got: list[dict[str, Any]] = []
        super().__init__(("127.0.0.1", port), Hook)


@contextmanager
def web_hook(port: int) -> Iterator[HookServer]:
    with HookServer(port) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()


def hook_url(port: int, secret: str = "an-invented-path") -> str:  # noqa: S107 - it opens nothing
    return f"json://127.0.0.1:{port}/{secret}"
