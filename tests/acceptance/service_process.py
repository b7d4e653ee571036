"""The real program as a process of its own, started as a person would start it."""

import json
import os
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx

ENTRY = "import sys; from api.command_line import main; sys.exit(main())"
START_S = 15.0
PATIENCE_S = 10.0

_FIRST_LINE = re.compile(r"pourkeep: (?P<name>.+) is on (?P<address>http://127\.0\.0\.1:\d+)/\n")


def pourkeep(*arguments: str | Path, timeout_s: float = 30) -> subprocess.CompletedProcess[str]:
    """Run a command to its end."""
    command = [sys.executable, "-c", ENTRY, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=timeout_s, check=False)


class Service:
    """`pourkeep serve` while it runs. Its log is in `log`.

    `program` runs it where it is not this Python alone, `more` is added to its environment.
    """

    def __init__(
        self,
        config: Path,
        program: Sequence[str] = (sys.executable, "-c", ENTRY),
        more: Mapping[str, str] | None = None,
    ) -> None:
        self.log = config.with_name(f"serve-{time.monotonic_ns()}.log")
        with self.log.open("w") as log:
            self.process = subprocess.Popen(
                [*program, "serve", "--config", str(config)],
                env={**os.environ, **(more or {})},
                stdout=subprocess.PIPE,
                stderr=log,
                text=True,
            )
        self.base = self._address()
        self.http = httpx.Client(base_url=self.base, timeout=PATIENCE_S, trust_env=False)

    def _address(self) -> str:
        assert self.process.stdout is not None
        ready, _, _ = select.select([self.process.stdout], [], [], START_S)
        line = self.process.stdout.readline() if ready else ""
        found = _FIRST_LINE.fullmatch(line)
        if found is None:
            self.end()
            raise AssertionError(f"said {line!r}; log: {self.log.read_text()}")
        return found["address"]

    def get(self, path: str) -> Any:  # noqa: ANN401 - whatever JSON there is
        """Return what an address gives."""
        answer = self.http.get(path)
        assert answer.status_code == 200, answer.text
        return answer.json()

    def post(self, path: str, body: object, status: int = 201) -> Any:  # noqa: ANN401 - as above
        """Send a body and return the answer."""
        answer = self.http.post(path, json=body)
        assert answer.status_code == status, answer.text
        return answer.json()

    def instrument(self, name: str) -> dict[str, Any]:
        """Return one instrument as it stands."""
        listed: list[dict[str, Any]] = self.get("/api/instruments")
        return next(one for one in listed if one["name"] == name)

    def stop(self) -> tuple[int, float]:
        """Ask it to stop; return its exit code and how many seconds it took."""
        asked_s = time.monotonic()
        self.process.send_signal(signal.SIGTERM)
        code = self.process.wait(PATIENCE_S)
        return code, time.monotonic() - asked_s

    def kill(self) -> None:
        """End it as a power cut would: without a chance to do anything."""
        self.process.kill()
        self.process.wait(PATIENCE_S)

    def end(self) -> None:
        """Make sure that nothing of it is left."""
        if self.process.poll() is None:
            self.kill()
        if self.process.stdout is not None:
            self.process.stdout.close()
        if hasattr(self, "http"):
            self.http.close()


@contextmanager
def serving(
    config: Path,
    program: Sequence[str] = (sys.executable, "-c", ENTRY),
    more: Mapping[str, str] | None = None,
) -> Iterator[Service]:
    """Run the service for the block."""
    service = Service(config, program, more)
    try:
        yield service
    finally:
        service.end()


def json_of(*arguments: str | Path) -> Any:  # noqa: ANN401 - whatever JSON there is
    """Return what a command prints as JSON."""
    done = pourkeep(*arguments)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def eventually(condition: object, patience_s: float = PATIENCE_S) -> float:
    """Wait until a callable gives something true; return how many seconds that took."""
    assert callable(condition)
    began_s = time.monotonic()
    while not condition():
        assert time.monotonic() - began_s < patience_s, "it did not happen"
        time.sleep(0.05)
    return time.monotonic() - began_s


def lines(text: str) -> Sequence[str]:
    """Return the lines of an output."""
    return text.rstrip("\n").split("\n")
