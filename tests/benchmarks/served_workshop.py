"""`pourkeep serve` as a process of its own, with scales on pseudo-terminals."""

import json
import os
import re
import select
import subprocess
import sys
import tty
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import httpx

from simulators.wire.one_wire_text import w1_slave_text

ENTRY = "import sys; from api.command_line import main; sys.exit(main())"
START_S = 60.0
STOP_S = 10.0
DEGC = 22.0

_FIRST_LINE = re.compile(r"pourkeep: .+ is on (?P<address>http://127\.0\.0\.1:\d+)/\n")

Instrument = Mapping[str, str]


class WiredScale:
    """A scale on a pseudo-terminal: what is written to it is on the wire."""

    def __init__(self, bench: str) -> None:
        self.bench = bench
        self._master, self._slave = os.openpty()
        tty.setraw(self._slave)
        os.set_blocking(self._master, False)

    def instrument(self) -> Instrument:
        """Return it as the config names it."""
        return {
            "name": f"{self.bench}-scale",
            "bench": self.bench,
            "role": "scale",
            "kind": "serial-scale",
            "port": os.ttyname(self._slave),
        }

    def send(self, line: bytes) -> None:
        """Put a line on the wire. Raises BlockingIOError where nobody reads."""
        os.write(self._master, line)

    def close(self) -> None:
        """Take it away."""
        os.close(self._master)
        os.close(self._slave)


def line(grams: float, *, steady: bool) -> bytes:
    """Return what a scale sends; such lines are common practice without a published source."""
    return f"{'ST' if steady else 'US'},GS,{grams:+09.1f},g\r\n".encode("ascii")


@contextmanager
def scales(benches: Sequence[str]) -> Iterator[list[WiredScale]]:
    """Give a scale for each bench."""
    wired = [WiredScale(bench) for bench in benches]
    try:
        yield wired
    finally:
        for scale in wired:
            scale.close()


def thermometer(folder: Path, bench: str, role: str, number: int, every: str) -> Instrument:
    """Lay a 1-Wire thermometer's file and return the instrument as the config names it."""
    device = f"28-0000000000{number:02x}"
    (folder / device).mkdir(parents=True)
    (folder / device / "w1_slave").write_text(w1_slave_text(round(DEGC * 16)))
    return {
        "name": f"{bench}-{role}",
        "bench": bench,
        "role": role,
        "kind": "one-wire",
        "device": device,
        "root": str(folder),
        "every": every,
    }


def write_config(folder: Path, instruments: Sequence[Instrument], **settings: str) -> Path:
    """Write a workshop.toml with its data in `folder`/data; `settings` are the workshop's own."""
    lines = ["[workshop]", 'name = "Trial Lane"', 'timezone = "UTC"', 'data = "./data"']
    lines += [f"{key} = {json.dumps(value)}" for key, value in settings.items()]
    for bench in dict.fromkeys(instrument["bench"] for instrument in instruments):
        lines += ["[[bench]]", f"name = {json.dumps(bench)}"]
    for instrument in instruments:
        lines += ["[[instrument]]"]
        lines += [f"{key} = {json.dumps(value)}" for key, value in instrument.items()]
    path = folder / "workshop.toml"
    path.write_text("\n".join([*lines, "[api]", "port = 0"]) + "\n")
    return path


class Served(NamedTuple):
    """A service that answers, and its process."""

    base: str
    http: httpx.Client
    pid: int


def started(config: Path) -> subprocess.Popen[str]:
    """Start the service."""
    return subprocess.Popen(
        [sys.executable, "-c", ENTRY, "serve", "--config", str(config)],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )


def stop(process: subprocess.Popen[str]) -> None:
    """Stop it, and see that it ends well."""
    process.terminate()
    try:
        code = process.wait(STOP_S)
    except subprocess.TimeoutExpired:
        process.kill()
        code = process.wait()
    if process.stdout is not None:
        process.stdout.close()
    assert code == 0, f"the service ended with {code}"


@contextmanager
def serving(config: Path) -> Iterator[Served]:
    """Run the service for the block."""
    process = started(config)
    try:
        assert process.stdout is not None
        ready, _, _ = select.select([process.stdout], [], [], START_S)
        said = process.stdout.readline() if ready else ""
        found = _FIRST_LINE.fullmatch(said)
        assert found is not None, f"the service said {said!r}"
        base = found["address"]
        with httpx.Client(base_url=base, timeout=STOP_S, trust_env=False) as http:
            yield Served(base, http, process.pid)
    finally:
        stop(process)
