"""What systemd hears, on a real socket; by sd_notify(3) and sd_watchdog_enabled(3)."""

import logging
import os
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.systemd import Notifier


@pytest.fixture(params=["path", "abstract"])
def ear(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[str, socket.socket]]:
    """Give the name of a socket as the environment has it, and the socket."""
    name = str(tmp_path / "notify")
    if request.param == "abstract":
        name = f"@pourkeep-test-{os.getpid()}"
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as sock:
        sock.bind(name.replace("@", "\0", 1) if name.startswith("@") else name)
        sock.settimeout(5)
        yield name, sock


def test_states_arrive_as_one_datagram_of_lines(ear: tuple[str, socket.socket]) -> None:
    name, sock = ear
    Notifier({"NOTIFY_SOCKET": name}).tell(ready="1", status="two\nlines are one")
    assert sock.recv(1000) == b"READY=1\nSTATUS=two lines are one"


@pytest.mark.parametrize(
    ("environment", "period_s"),
    [
        ({}, None),
        ({"WATCHDOG_USEC": "30000000"}, 30.0),
        ({"WATCHDOG_USEC": "30000000", "WATCHDOG_PID": str(os.getpid())}, 30.0),
        ({"WATCHDOG_USEC": "30000000", "WATCHDOG_PID": "1"}, None),
        ({"WATCHDOG_USEC": "0"}, None),
        ({"WATCHDOG_USEC": "soon"}, None),
    ],
)
def test_the_watchdog_is_fed_where_it_is_meant_for_this_process(
    environment: dict[str, str], period_s: float | None
) -> None:
    assert Notifier(environment).watchdog_s == period_s


def test_without_a_socket_nobody_is_told() -> None:
    notifier = Notifier({})
    notifier.tell(ready="1")
    assert not notifier.listens


@pytest.mark.parametrize("name", ["/nowhere/notify", "vsock:2:1234"])
def test_what_cannot_be_told_is_logged_once_and_ends_nothing(
    name: str, caplog: pytest.LogCaptureFixture
) -> None:
    notifier = Notifier({"NOTIFY_SOCKET": name})
    notifier.tell(ready="1")
    notifier.tell(watchdog="1")
    assert len([r for r in caplog.records if r.levelno == logging.WARNING]) == 1
