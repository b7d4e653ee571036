"""How long a commit takes while a backup of a store of some 100 MB runs.

    python tests/benchmarks/backup_commits.py

Commits of 16 readings come every hundredth of a second, six times as many as of 16 instruments
at 10 Hz, so that each moment of the backup meets one. The yardstick is the time in which an alarm
must be on the screen. Beside it: the same commits without a backup, and how long a backup takes.
"""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from figures import Figure, judge

from collector.readings import Reading
from collector.store.ledger import Ledger

ENTRY = "import sys; from api.command_line import main; sys.exit(main())"
CHANNELS = [f"pier-{n}" for n in range(16)]
BATCH, BATCHES = 96_000, 45
EVERY_S = 0.01
QUIET_S = 3.0
ROUNDS = 3
ALARM_MS = 50.0
"""The design's budget from the wire to the screen."""

DAY_US = 86_400_000_000


def fill(ledger: Ledger) -> int:
    """Store readings of two days or so and return the time of the last."""
    each = BATCH // len(CHANNELS)
    for batch in range(BATCHES):
        times = range(batch * each, (batch + 1) * each)
        rows = [
            Reading(name, DAY_US + t * 40_000, 180_000 + t % 99) for t in times for name in CHANNELS
        ]
        ledger.commit(rows, [])
    return DAY_US + BATCHES * each * 40_000


def longest_ms(ledger: Ledger, from_us: int, goes_on: Callable[[], bool]) -> tuple[float, int]:
    """Commit until told to stop; return the longest commit and the time of the last reading."""
    longest_s = 0.0
    while goes_on():
        from_us += 1_000
        rows = [Reading(name, from_us, 1) for name in CHANNELS]
        began_s = time.perf_counter()
        ledger.commit(rows, [])
        longest_s = max(longest_s, time.perf_counter() - began_s)
        time.sleep(EVERY_S)
    return longest_s * 1000, from_us


def one_backup(ledger: Ledger, folder: Path, to: Path, from_us: int) -> tuple[float, float, int]:
    """Return the longest commit during a backup, its seconds, and the time of the last reading."""
    command = ("backup", "--data", str(folder), "--to", str(to))
    began_s = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-c", ENTRY, *command], stdout=subprocess.DEVNULL
    ) as process:
        longest, last_us = longest_ms(ledger, from_us, lambda: process.poll() is None)
    assert process.returncode == 0
    return longest, time.perf_counter() - began_s, last_us


def measure() -> list[Figure]:
    """Return the longest commits with and without a backup, and the time of a backup."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "data"
        folder.mkdir()
        ledger = Ledger(folder)
        at_us = fill(ledger)
        until_s = time.perf_counter() + QUIET_S
        quiet_ms, at_us = longest_ms(ledger, at_us, lambda: time.perf_counter() < until_s)
        found = []
        for number in range(ROUNDS):
            longest, spent_s, at_us = one_backup(ledger, folder, Path(name) / f"{number}.db", at_us)
            found.append((longest, spent_s))
        size_mb = (Path(name) / "0.db").stat().st_size / 1e6
        ledger.close()
    longest, spent_s = (max(column) for column in zip(*found, strict=True))
    return [
        Figure("longest commit without a backup", quiet_ms, ALARM_MS, "ms"),
        Figure("longest commit while a backup runs", longest, ALARM_MS, "ms", at_most=1.0),
        Figure(f"a backup of {size_mb:.0f} MB, checked", spent_s, 60.0, "s", at_most=1.0),
    ]


if __name__ == "__main__":
    sys.exit(judge(measure))
