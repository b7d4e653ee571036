"""What the service costs while nothing happens: memory and processor.

    python tests/benchmarks/at_rest.py

Two benches with a scale on a pseudo-terminal and three 1-Wire thermometers each: eight
instruments, each twice a second. No lot is open and no screen looks. The thermometers are plain
files, which answer at once; the kernel's take most of a second, without using the processor.
"""

import os
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from figures import Figure, judge
from served_workshop import WiredScale, line, scales, serving, thermometer, write_config

BENCHES = ("north", "south")
ROLES = ("pitcher", "pot", "room")
EVERY_S = 0.5
WARM_S = 3.0
WATCH_S = 20.0
MUST_MB = 120.0
MUST_PERCENT = 2.0
"""The design's budget."""

TICKS_PER_S = os.sysconf("SC_CLK_TCK")


def processor_s(pid: int) -> float:
    """Return the seconds of processor that a process has used, all its threads together.

    Fields 14 and 15 of /proc/PID/stat, see proc_pid_stat(5); its name may hold blanks.
    """
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICKS_PER_S


def resident_mb(pid: int) -> float:
    """Return a process's resident memory in units of 10^6 bytes, see proc_pid_status(5)."""
    status = Path(f"/proc/{pid}/status").read_text()
    kib = next(row.split()[1] for row in status.splitlines() if row.startswith("VmRSS:"))
    return int(kib) * 1024 / 1e6


def speak(wired: Sequence[WiredScale], seconds: float) -> None:
    """Let the scales tremble by a division for a while."""
    due = time.monotonic()
    until = due + seconds
    number = 0
    while due < until:
        for scale in wired:
            scale.send(line(0.1 * (number % 2), steady=True))
        number += 1
        due += EVERY_S
        time.sleep(max(0.0, due - time.monotonic()))


def measure() -> list[Figure]:
    """Return memory and share of a core."""
    with tempfile.TemporaryDirectory() as name, scales(BENCHES) as wired:
        folder = Path(name)
        probes = [
            thermometer(folder / f"w1-{bench}", bench, role, number, f"{EVERY_S} s")
            for bench in BENCHES
            for number, role in enumerate(ROLES, 1)
        ]
        config = write_config(folder, [*(scale.instrument() for scale in wired), *probes])
        with serving(config) as served:
            speak(wired, WARM_S)
            before_s, began_s = processor_s(served.pid), time.monotonic()
            speak(wired, WATCH_S)
            percent = (processor_s(served.pid) - before_s) / (time.monotonic() - began_s) * 100
            memory = resident_mb(served.pid)
            states = {one["state"] for one in served.http.get("/api/instruments").json()}
    assert states == {"reading"}, states
    what = f"at rest, {len(wired) + len(probes)} instruments at 2 Hz"
    return [
        Figure(f"{what}, resident", memory, MUST_MB, "MB", at_most=1.0),
        Figure(f"{what}, of a core", percent, MUST_PERCENT, "%", at_most=1.0),
    ]


if __name__ == "__main__":
    sys.exit(judge(measure))
