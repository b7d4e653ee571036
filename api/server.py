"""The web server: listens, serves until told to stop, and stops promptly."""

import asyncio
import contextlib
import signal
import socket
import threading
from collections.abc import Iterator
from types import FrameType

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from api.app import create_app
from collector.errors import PourkeepError
from collector.workshop import Workshop
from dashboards import dist_dir

STUCK_MS = 8000
"""A screen that takes nothing for this long is gone: a phone that went out of reach."""

GRACE_S = 2
"""How long open requests may take once the service is told to stop."""

KEEP_ALIVE_S = 5
"""How long a connection may rest between two requests."""

MOST_HEADER_BYTES = 32_768
"""A browser's headers have some kilobytes; a request that has more before its body is refused."""

HEADERS_S = 10.0
"""How long the headers of a request may take, from the first byte or the connection on."""

STOP_SIGNALS = (signal.SIGINT, signal.SIGTERM)


class PunctualProtocol(H11Protocol):
    """Hangs up where the headers of a request do not come: the server itself would wait on."""

    _hanging_up: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Wait for the first request."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Take some bytes."""
        super().data_received(data)
        under_way = self.cycle is not None and not self.cycle.response_complete
        if under_way:
            self._wait_no_more()
        elif self._hanging_up is None:
            self._wait()

    def connection_lost(self, exc: Exception | None) -> None:
        """Take it that the connection is over."""
        self._wait_no_more()
        super().connection_lost(exc)

    def _wait(self) -> None:
        self._hanging_up = self.loop.call_later(HEADERS_S, self.transport.close)

    def _wait_no_more(self) -> None:
        if self._hanging_up is not None:
            self._hanging_up.cancel()
        self._hanging_up = None


class Server(uvicorn.Server):
    """A server that ends with its workshop, and ends the streams, which would go on for ever."""

    def __init__(self, config: uvicorn.Config, workshop: Workshop) -> None:
        super().__init__(config)
        self._workshop = workshop
        # A page without anything behind it would look like a quiet workshop.
        workshop.running.add_done_callback(lambda _: self.stop())

    def stop(self) -> None:
        """End the streams, then the serving."""
        self._workshop.stopping.set()
        self.should_exit = True

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Take the signals while serving.

        Being told to stop is no failure: unlike the server's own way, the signal is not raised
        again at the end, so that the workshop closes its store and the exit code is 0.
        """
        if threading.current_thread() is not threading.main_thread():
            yield  # signals reach the main thread only
            return
        before = {number: signal.signal(number, self.handle_exit) for number in STOP_SIGNALS}
        try:
            yield
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Take SIGINT or SIGTERM."""
        self._workshop.stopping.set()
        super().handle_exit(sig, frame)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End the streams first."""
        self._workshop.stopping.set()
        await super().shutdown(sockets)


def listen(host: str, port: int, remedy: str = "choose another port under [api]") -> socket.socket:
    """Return a listening socket. Raises PourkeepError where the address cannot be used.

    `remedy` says how a person gives another port.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # With its protocol named, else asyncio leaves small answers waiting for the peer (Nagle).
    sock = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    if hasattr(socket, "TCP_USER_TIMEOUT"):
        sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, STUCK_MS)
    try:
        sock.bind((host, port))
        sock.listen(64)
    except OSError as error:
        sock.close()
        raise PourkeepError(
            f"Cannot listen on {host} port {port} ({error.strerror}). "
            f"Is pourkeep running already? Otherwise {remedy}."
        ) from error
    sock.setblocking(False)
    return sock


def make_server(workshop: Workshop) -> Server:
    """Return a server for a workshop; `serve(sockets=[...])` runs it until it is told to stop."""
    config = uvicorn.Config(
        create_app(workshop, dist_dir()),
        http=PunctualProtocol,
        log_config=None,
        access_log=False,
        timeout_graceful_shutdown=GRACE_S,
        timeout_keep_alive=KEEP_ALIVE_S,
        h11_max_incomplete_event_size=MOST_HEADER_BYTES,
        lifespan="off",
    )
    return Server(config, workshop)


def address(sock: socket.socket) -> str:
    """Return the URL that a browser on this machine opens."""
    host, port = sock.getsockname()[:2]
    return f"http://{f'[{host}]' if ':' in host else host}:{port}/"
