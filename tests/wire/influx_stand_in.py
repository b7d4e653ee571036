"""A stand-in for InfluxDB servers: it keeps the requests and answers as it was told."""

import gzip
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import NamedTuple
from urllib.parse import parse_qs, urlsplit


class Request(NamedTuple):
    """What came in; `body` without its compression, `query` and forms decoded."""

    method: str
    path: str
    query: Mapping[str, str]
    headers: Mapping[str, str]
    body: str


class Answer(NamedTuple):
    """What goes out."""

    status: int
    body: str = ""
    headers: Mapping[str, str] = {}


NO_CONTENT = Answer(204)
NO_PATH = Answer(404, "404 page not found\n", {"Content-Type": "text/plain; charset=utf-8"})
"""How a server of Go answers for a path that it does not have; seen from InfluxDB 1.6.7."""


class StandIn:
    """Answers by path, each in its order; the last one of a path is given again and again."""

    def __init__(self, answers: Mapping[str, list[Answer]]) -> None:
        self.requests: list[Request] = []
        self._answers = {path: list(listed) for path, listed in answers.items()}
        self.url = ""

    def answer(self, request: Request) -> Answer:
        """Keep a request and return its answer."""
        self.requests.append(request)
        listed = self._answers.get(request.path, [NO_PATH])
        return listed.pop(0) if len(listed) > 1 else listed[0]


@contextmanager
def standing_in(**answers: list[Answer]) -> Iterator[StandIn]:
    """Run a stand-in; `api_v2_write`, `write` and `query` are the answers of these paths."""
    paths = {f"/{name.replace('_', '/')}": listed for name, listed in answers.items()}
    stand_in = StandIn(paths)
    server = ThreadingHTTPServer(("127.0.0.1", 0), _handler(stand_in))
    stand_in.url = f"http://127.0.0.1:{server.server_address[1]}"
    thread = threading.Thread(target=server.serve_forever, args=(0.01,))
    thread.start()
    try:
        yield stand_in
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def _handler(stand_in: StandIn) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            self._take("")

        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            if self.headers["Content-Encoding"] == "gzip":
                body = gzip.decompress(body)
            self._take(body.decode())

        def _take(self, body: str) -> None:
            parts = urlsplit(self.path)
            query = {k: v for k, (v,) in parse_qs(parts.query, keep_blank_values=True).items()}
            headers = {name.lower(): value for name, value in self.headers.items()}
            answer = stand_in.answer(Request(self.command, parts.path, query, headers, body))
            self.send_response(answer.status)
            for name, value in answer.headers.items():
                self.send_header(name, value)
            self.send_header("Content-Length", str(len(answer.body.encode())))
            self.end_headers()
            self.wfile.write(answer.body.encode())

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002
            """Say nothing."""

    return Handler
