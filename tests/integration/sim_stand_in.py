"""A stand-in for the service, over real HTTP, that keeps what the simulated maker asks of it."""

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

LOT = "2025-11-25-1"
SHEET = {"batch_sheet": {"pitchers": [{"pitcher": 1, "vessels": 2, "wax": 233.3}]}}


class StandIn(ThreadingHTTPServer):
    """Answers as the HTTP contract says, for one lot of the `short` scenario."""

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Answers)
        self.asked: list[tuple[str, str, Any]] = []
        self.refuses_lots: list[int] = []
        """With what status the next lots are refused, in turn."""

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_address[1]}"


class Answers(BaseHTTPRequestHandler):
    server: StandIn

    def do_GET(self) -> None:
        self.server.asked.append(("GET", self.path, None))
        known: dict[str, dict[str, Any]] = {
            "/api/workshop": {"name": "stand-in"},
            f"/api/lots/{LOT}": SHEET,
        }
        self._answer(200, known[self.path])

    def do_POST(self) -> None:
        body = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
        self.server.asked.append(("POST", self.path, body))
        if self.path == "/api/lots" and self.server.refuses_lots:
            status = self.server.refuses_lots.pop(0)
            self._answer(status, {"title": "Not this one", "status": status, "lot": LOT})
        elif self.path.endswith("/close"):
            self._answer(200, {"id": LOT, "state": "closed"})
        else:
            self._answer(201, {"id": LOT})

    def log_message(self, *_: object) -> None:
        """Say nothing."""

    def _answer(self, status: int, document: dict[str, Any]) -> None:
        body = json.dumps(document).encode()
        self.send_response(status)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


@contextmanager
def stand_in() -> Iterator[StandIn]:
    """Serve until the block ends."""
    with StandIn() as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()
