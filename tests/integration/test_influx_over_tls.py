"""A real server that speaks TLS with a certificate that nobody but the test has signed."""

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from influx_at_hand import count
from influx_process import InfluxProcess, influxd
from urllib3.exceptions import InsecureRequestWarning

from collector.store.influx.answers import MisconfiguredError
from collector.store.influx.server import InfluxServer

LINES = ["reading,channel=a value=1 1795600000000000000"]


def self_signed(path: Path) -> Path:
    """Make a key and its certificate for this machine's own address, in one file."""
    command = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"]
    names = ["-subj", "/CN=test", "-addext", "subjectAltName=IP:127.0.0.1"]
    subprocess.run(
        [*command, *names, "-keyout", path, "-out", path.with_suffix(".crt")],
        check=True,
        capture_output=True,
    )
    path.write_bytes(path.read_bytes() + path.with_suffix(".crt").read_bytes())
    return path


@pytest.fixture(scope="module")
def influx(tmp_path_factory: pytest.TempPathFactory) -> Iterator[InfluxProcess]:
    folder = tmp_path_factory.mktemp("tls")
    with influxd(folder / "influx", certificate=self_signed(folder / "server.pem")) as process:
        yield process


def certificate(influx: InfluxProcess) -> Path:
    return influx.folder.parent / "server.crt"


def test_a_certificate_that_the_config_names_is_trusted(influx: InfluxProcess) -> None:
    server = InfluxServer(influx.config("pour", ca=certificate(influx)))
    server.write(LINES)
    assert count(server, "reading", "value") == 1


def test_a_certificate_that_nobody_knows_is_the_configs_to_name(influx: InfluxProcess) -> None:
    server = InfluxServer(influx.config("pour"))
    with pytest.raises(MisconfiguredError, match=r"not trusted.*Name its certificate as ca"):
        server.write(LINES)
    with pytest.raises(MisconfiguredError, match="not trusted"):
        server.query("SHOW DATABASES")


def test_whoever_asks_for_no_check_gets_none_and_a_warning(influx: InfluxProcess) -> None:
    server = InfluxServer(influx.config("pour", verify=False))
    with pytest.warns(InsecureRequestWarning):
        server.write(LINES)
