"""A simulated day in a process of its own, for the screens to look at."""

import json
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

SCENARIO = "one_mistake"
START_S = 30.0
ALARM_S = 120.0


@contextmanager
def demo_day(speed: int) -> Iterator[str]:
    """Run `pourkeep demo` and give its address once a lot is open and an alarm was raised."""
    arguments = ["demo", "--scenario", SCENARIO, "--speed", str(speed), "--port", "0"]
    process = subprocess.Popen(
        [sys.executable, "-c", "from api.command_line import main; main()", *arguments],
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        url = address_of(process)
        _wait_for_an_alarm(url)
        yield url
    finally:
        process.terminate()
        process.communicate(timeout=START_S)


def address_of(process: subprocess.Popen[str]) -> str:
    """Return the address that a service prints as it starts."""
    assert process.stdout is not None
    line = process.stdout.readline()
    assert "http://" in line, f"the service did not start: {line!r}"
    return line[line.index("http://") :].strip().rstrip("/")


def _wait_for_an_alarm(url: str) -> None:
    deadline = time.monotonic() + ALARM_S
    while time.monotonic() < deadline:
        lots, alarms = _get(f"{url}/api/lots"), _get(f"{url}/api/alarms")
        if alarms and any(lot["state"] == "open" for lot in lots):
            return
        time.sleep(0.2)
    raise AssertionError("the simulated day raised no alarm in time")


def _get(url: str) -> list[dict[str, Any]]:
    with urllib.request.urlopen(url, timeout=10) as answer:  # noqa: S310 - our own address
        found: list[dict[str, Any]] = json.load(answer)
        return found
