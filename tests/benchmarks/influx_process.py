"""A real InfluxDB server of one's own: its folders, its ports, nothing reported anywhere."""

import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import urllib3

from collector.influx_config import InfluxConfig

PATIENCE_S = 20.0

_SETTINGS = """
reporting-disabled = true
bind-address = "127.0.0.1:{rpc}"
[meta]
  dir = "{folder}/meta"
[data]
  dir = "{folder}/data"
  wal-dir = "{folder}/wal"
  query-log-enabled = false
  cache-snapshot-write-cold-duration = "{cold}"
  compact-full-write-cold-duration = "{cold}"
[monitor]
  store-enabled = false
[http]
  bind-address = "127.0.0.1:{http}"
  log-enabled = false
  auth-enabled = {auth}
  https-enabled = {https}
  https-certificate = "{certificate}"
[continuous_queries]
  enabled = false
"""


class InfluxProcess:
    """The program `influxd`, which can be stopped and started again over the same folder."""

    def __init__(
        self,
        folder: Path,
        *,
        auth: bool = False,
        cold: str = "10m",
        certificate: Path | None = None,
    ) -> None:
        self.folder = folder
        self._certificate = certificate
        self._http, rpc = _free_ports()
        self._settings = folder / "influxdb.conf"
        folder.mkdir(parents=True, exist_ok=True)
        text = _SETTINGS.format(
            folder=folder,
            http=self._http,
            rpc=rpc,
            cold=cold,
            auth=str(auth).lower(),
            https=str(certificate is not None).lower(),
            certificate=certificate or "",
        )
        self._settings.write_text(text, "utf-8")
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        """Where it answers."""
        scheme = "http" if self._certificate is None else "https"
        return f"{scheme}://127.0.0.1:{self._http}"

    def config(self, database: str, **more: Any) -> InfluxConfig:  # noqa: ANN401 - its fields
        """Return how the service is told of it."""
        return InfluxConfig(url=self.url, database=database, **more)

    def start(self) -> None:
        """Start it and wait until it answers."""
        with (self.folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                ["influxd", "-config", self._settings], stdout=log, stderr=log
            )
        deadline_s = time.monotonic() + PATIENCE_S
        while not self._answers():
            assert self._process.poll() is None, (self.folder / "log").read_text("utf-8")
            assert time.monotonic() < deadline_s, "influxd does not answer"
            time.sleep(0.02)

    def stop(self) -> None:
        """Stop it as a system does."""
        if self._process is not None:
            self._process.terminate()
            self._process.wait(PATIENCE_S)
            self._process = None

    def kill(self) -> None:
        """Take it away as a power failure does."""
        if self._process is not None:
            self._process.kill()
            self.stop()

    def _answers(self) -> bool:
        trusted = str(self._certificate) if self._certificate else None
        try:
            with urllib3.PoolManager(ca_certs=trusted, retries=False, timeout=1) as pool:
                return pool.request("GET", f"{self.url}/ping").status == 204
        except urllib3.exceptions.HTTPError:
            return False


def _free_ports() -> tuple[int, int]:
    with socket.socket() as one, socket.socket() as other:
        for each in (one, other):
            each.bind(("127.0.0.1", 0))
        return one.getsockname()[1], other.getsockname()[1]


@contextmanager
def influxd(
    folder: Path, *, auth: bool = False, cold: str = "10m", certificate: Path | None = None
) -> Iterator[InfluxProcess]:
    """Run a server for the block; `certificate` is a file of a key and its certificate."""
    process = InfluxProcess(folder, auth=auth, cold=cold, certificate=certificate)
    try:
        process.start()
        yield process
    finally:
        process.stop()
