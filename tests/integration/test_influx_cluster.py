"""Two real servers behind a relay that writes to both, and twice to one of them."""

import asyncio
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
import urllib3
from influx_at_hand import administer, count
from influx_process import InfluxProcess, influxd
from store_samples import BENCH, SCALE, START_US, lot_opened, scale_readings
from workshop_at_hand import HandClock, until

from collector.influx_config import InfluxConfig
from collector.readings import Channel, Role
from collector.store import Store
from collector.store.influx.curves import read_span
from collector.store.influx.sender import TARGET, sender_to
from collector.store.influx.server import InfluxServer

CHANNEL = Channel(SCALE, BENCH, Role.SCALE, None)
DATABASE = "pour"


@contextmanager
def relay(*nodes: InfluxProcess) -> Iterator[str]:
    """Run a relay: a write goes to each node, to the last one twice, a question to the first."""

    class Relay(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            self._pass(nodes[0], b"")

        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            answers = [self._ask(node, body) for node in (*nodes, nodes[-1])]
            self._answer(max(answers, key=lambda answer: answer.status))

        def _pass(self, node: InfluxProcess, body: bytes) -> None:
            self._answer(self._ask(node, body))

        def _ask(self, node: InfluxProcess, body: bytes) -> urllib3.BaseHTTPResponse:
            passed = {k: v for k, v in self.headers.items() if k.startswith("Content")}
            return urllib3.request(
                self.command, f"{node.url}{self.path}", body=body, headers=passed
            )

        def _answer(self, answer: urllib3.BaseHTTPResponse) -> None:
            self.send_response(answer.status)
            self.send_header("Content-Length", str(len(answer.data)))
            self.end_headers()
            self.wfile.write(answer.data)

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Relay)
    thread = threading.Thread(target=server.serve_forever, args=(0.01,))
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@pytest.mark.asyncio
async def test_both_nodes_hold_each_point_once_and_the_curve_comes_back(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "data", [TARGET])
    await store.commit(scale_readings(count=500), [lot_opened()])
    with influxd(tmp_path / "one") as one, influxd(tmp_path / "two") as two, relay(one, two) as url:
        for node in (one, two):
            administer(node, f'CREATE DATABASE "{DATABASE}"')
        cluster = InfluxServer(InfluxConfig(url=url, database=DATABASE))
        sender = sender_to(cluster, store, [CHANNEL], HandClock(START_US))
        sending = asyncio.create_task(sender.run())
        await until(lambda: sender.state.sent_us is not None)
        sending.cancel()
        for node in (one, two):
            direct = InfluxServer(node.config(DATABASE))
            assert count(direct, "reading", "value") == 500
            assert count(direct, "event", "seq") == 1
        span = await asyncio.to_thread(read_span, cluster, CHANNEL, START_US, START_US + 10**6)
        assert span.values.tolist() == [reading.value for reading in scale_readings(count=500)]
    store.close()
