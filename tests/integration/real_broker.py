"""Mosquitto as a process of a test's own, with passwords, an access list and TLS.

The certificates are made by the openssl command for each test: none is kept anywhere.
"""

import os
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from collector.mqtt_config import MqttConfig, Tls

START_S = 10.0
PASSWORDS = {"east": "limpet rock", "west": "razor shell", "hub": "harbor light"}

EXAMPLE = Path(__file__).parents[2] / "deploy" / "mqtt"
"""The broker's files as we give them to others: what is tested is what is used."""

THERE = "/etc/mosquitto/pourkeep"


def openssl(folder: Path, *arguments: str) -> None:
    subprocess.run(["openssl", *arguments], cwd=folder, check=True, capture_output=True)


def make_certificates(folder: Path) -> None:
    """Make an authority, and a certificate for 127.0.0.1 that it signed."""
    key = ("-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes")
    openssl(
        folder, "req", "-x509", *key, "-keyout", "ca.key", "-out", "ca.crt", "-days", "2",
        "-subj", "/CN=Quay Street test authority",
    )  # fmt: skip
    openssl(
        folder, "req", *key, "-keyout", "broker.key", "-out", "broker.csr", "-subj", "/CN=broker"
    )
    (folder / "names").write_text("subjectAltName=IP:127.0.0.1,DNS:localhost\n")
    openssl(
        folder, "x509", "-req", "-in", "broker.csr", "-CA", "ca.crt", "-CAkey", "ca.key",
        "-CAcreateserial", "-out", "broker.crt", "-days", "2", "-extfile", "names",
    )  # fmt: skip


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class RealBroker:
    """A broker that can be stopped, started again and frozen; it forgets all when it stops."""

    def __init__(self, folder: Path, *, secured: bool = False) -> None:
        self.folder = folder
        self.port = free_port()
        self.secured = secured
        self.log = folder / "mosquitto.log"
        self._process: subprocess.Popen[bytes] | None = None
        folder.mkdir(parents=True, exist_ok=True)
        lines = self._secured() if secured else self._open()
        if os.getuid() == 0:  # else it would become another user, who may not read the folder
            lines.append("user root")
        (folder / "mosquitto.conf").write_text("\n".join([*lines, "log_type all", ""]))

    def _open(self) -> list[str]:
        listener = f"listener {self.port} 127.0.0.1"
        return ["persistence false", listener, "allow_anonymous true"]

    def _secured(self) -> list[str]:
        make_certificates(self.folder)
        shutil.copy(EXAMPLE / "access", self.folder)
        (self.folder / "passwords").touch(0o600)
        for user, password in PASSWORDS.items():
            command = ["mosquitto_passwd", "-b", "passwords", user, password]
            subprocess.run(command, cwd=self.folder, check=True, capture_output=True)
        text = (EXAMPLE / "mosquitto.conf").read_text().replace(THERE, str(self.folder))
        return text.replace("listener 8883", f"listener {self.port} 127.0.0.1").splitlines()

    def config(self, user: str = "hub", *, port: int | None = None) -> MqttConfig:
        """Return how a program reaches it, or a port in front of it."""
        if not self.secured:
            return MqttConfig("127.0.0.1", port or self.port, forward=user != "hub")
        tls = Tls(self.folder / "ca.crt")
        forward = user != "hub"
        return MqttConfig(
            "127.0.0.1", port or self.port, user, PASSWORDS[user], tls, forward=forward
        )

    def start(self) -> None:
        with self.log.open("ab") as log:
            self._process = subprocess.Popen(
                ["mosquitto", "-c", str(self.folder / "mosquitto.conf")], stdout=log, stderr=log
            )
        deadline = time.monotonic() + START_S
        while not self._answers():
            assert self._process.poll() is None, self.log.read_text()
            assert time.monotonic() < deadline, self.log.read_text()
            time.sleep(0.02)

    def _answers(self) -> bool:
        with socket.socket() as probe:
            return probe.connect_ex(("127.0.0.1", self.port)) == 0

    def stop(self) -> None:
        if self._process is not None:
            self._process.send_signal(signal.SIGCONT)
            self._process.kill()
            self._process.wait()
            self._process = None

    def freeze(self) -> None:
        """Let it hang, as a machine that is gone without a goodbye."""
        assert self._process is not None
        self._process.send_signal(signal.SIGSTOP)


@contextmanager
def running_broker(folder: Path, *, secured: bool = False) -> Iterator[RealBroker]:
    """Run a broker for the block."""
    broker = RealBroker(folder, secured=secured)
    broker.start()
    try:
        yield broker
    finally:
        broker.stop()
