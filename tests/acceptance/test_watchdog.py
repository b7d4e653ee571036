"""The watchdog of systemd is fed while collection and writing get on, and only then.

The socket is a real one, and so is the process; systemd's side is the test's, by sd_notify(3).
"""

import os
import resource
import socket
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import hung_service
import pytest
from hand_made_bench import HandMadeScale, ProbeFiles
from hung_service import PATIENCE_S
from lot_by_hand import DEVICE, SCALE, write_config
from service_process import Service, eventually, serving

PERIOD_S = 0.6
FED = "WATCHDOG=1"


class Supervisor:
    """The supervisor's end of the socket."""

    def __init__(self) -> None:
        self.name = f"@pourkeep-watchdog-{os.getpid()}"
        self._socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self._socket.bind("\0" + self.name[1:])
        self.heard: list[str] = []

    @property
    def environment(self) -> dict[str, str]:
        """What the service is started with."""
        period_us = str(round(PERIOD_S * 1_000_000))
        return {"NOTIFY_SOCKET": self.name, "WATCHDOG_USEC": period_us}

    def listen(self, seconds: float) -> list[str]:
        """Return the lines that come within a time."""
        until_s, lines = time.monotonic() + seconds, []
        while (left_s := until_s - time.monotonic()) > 0:
            self._socket.settimeout(left_s)
            try:
                lines += self._socket.recv(10_000).decode().split("\n")
            except TimeoutError:
                break
        self.heard += lines
        return lines

    def close(self) -> None:
        """Hear no more."""
        self._socket.close()


class Watched:
    """A service under supervision, which hangs as the test wishes."""

    def __init__(self, service: Service, supervisor: Supervisor, wishes: Path) -> None:
        self.service = service
        self.supervisor = supervisor
        self._wishes = wishes

    @contextmanager
    def hanging(self, what: str) -> Iterator[None]:
        """Let something hang for the block."""
        wish = self._wishes / what
        wish.touch()
        try:
            yield
        finally:
            wish.unlink()

    def is_fed_again(self) -> None:
        """See that the watchdog is fed."""
        eventually(lambda: FED in self.supervisor.listen(0.5))


@pytest.fixture(scope="module")
def watched(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watched]:
    folder = tmp_path_factory.mktemp("watched")
    wishes = folder / "wishes"
    wishes.mkdir()
    ProbeFiles(folder / "w1").set(DEVICE, 60.0)
    supervisor = Supervisor()
    program = (sys.executable, hung_service.__file__, str(wishes))
    with HandMadeScale(folder / "scale"):
        more = {**supervisor.environment, "PYTHONPATH": os.pathsep.join(sys.path)}
        with serving(write_config(folder), program, more) as service:
            eventually(lambda: service.instrument(SCALE)["state"] == "reading")
            yield Watched(service, supervisor, wishes)
            supervisor.listen(0.2)  # what nobody hears fills the socket
            assert service.stop()[0] == 0
            assert "STOPPING=1" in supervisor.listen(1.0)
    supervisor.close()


def test_the_service_says_that_it_is_ready_how_it_does_and_that_it_lives(watched: Watched) -> None:
    eventually(lambda: FED in watched.supervisor.listen(0.5))
    heard = watched.supervisor.heard
    assert "READY=1" in heard
    eventually(lambda: "STATUS=2 of 2 instruments give readings; no lot is open." in " ".join(
        line for line in watched.supervisor.listen(0.6)
    ))  # fmt: skip
    feeds = watched.supervisor.listen(4 * PERIOD_S).count(FED)
    assert 8 <= feeds <= 26  # at a sixth of the period, but for a machine under load


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("writer", "A write to the disk has not come to its end"),
        ("reader", f"The thread that reads {SCALE} has not moved"),
        ("loop", ""),  # who could say it?
    ],
)
def test_what_hangs_starves_the_watchdog(watched: Watched, what: str, said: str) -> None:
    watched.is_fed_again()
    with watched.hanging(what):
        watched.supervisor.listen(1.5 * PATIENCE_S + PERIOD_S)
        heard = watched.supervisor.listen(2 * PERIOD_S)
        assert FED not in heard
        assert said in " ".join(heard)
    watched.is_fed_again()


def test_a_store_that_refuses_does_not_starve_it(watched: Watched) -> None:
    """No file may grow: a write fails as on a full disk, see setrlimit(2)."""
    watched.is_fed_again()
    pid = watched.service.process.pid
    before = resource.prlimit(pid, resource.RLIMIT_FSIZE)
    resource.prlimit(pid, resource.RLIMIT_FSIZE, (1, before[1]))
    try:
        eventually(lambda: watched.service.http.get("/api/health").status_code == 503)
        watched.supervisor.listen(2 * PATIENCE_S)
        heard = watched.supervisor.listen(3 * PERIOD_S)
        assert heard.count(FED) >= 4
        assert "Collection goes on in memory" in " ".join(heard)
    finally:
        resource.prlimit(pid, resource.RLIMIT_FSIZE, before)
    eventually(lambda: watched.service.http.get("/api/health").status_code == 200)
