"""A service beside an InfluxDB address that takes connections and says nothing."""

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from lot_by_hand import RECIPE, write_config
from service_process import eventually, serving

PASSWORD = "driftwood-and-rope"  # noqa: S105 - a password of the test's own
SETTINGS = f"""
[influx]
url = "http://127.0.0.1:{{port}}"
database = "pour"
user = "bench"
password = "{PASSWORD}"
every = "1 s"
"""


@contextmanager
def silence() -> Iterator[socket.socket]:
    """Give a socket that listens and nothing more."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        yield listening


def test_the_service_works_and_stops_at_once_while_the_server_is_silent(tmp_path: Path) -> None:
    config = write_config(tmp_path)
    with silence() as server:
        with config.open("a") as file:
            file.write(SETTINGS.format(port=server.getsockname()[1]))
        with serving(config) as service:
            service.post("/api/recipes", RECIPE)
            server.settimeout(10)
            connection, _ = server.accept()  # it is being asked now
            with connection:
                assert connection.recv(4) == b"POST"
                code, spent_s = service.stop()
            assert code == 0
            assert spent_s < 5
            log = service.log.read_text()
    assert PASSWORD not in log


def test_what_waits_for_a_server_that_is_away_is_told(tmp_path: Path) -> None:
    config = write_config(tmp_path)
    with config.open("a") as file:
        file.write(SETTINGS.format(port=9))
    with serving(config) as service:
        service.post("/api/recipes", RECIPE)
        eventually(lambda: service.get("/api/outbox")[0]["state"] == "away")
        (shown,) = service.get("/api/outbox")
        assert shown["waiting"] > 0
        assert shown["reason"].endswith("does not answer (it takes no connection).")
        assert service.stop()[0] == 0
        assert PASSWORD not in service.log.read_text()
