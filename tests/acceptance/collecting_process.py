"""`pourkeep collect` as a process of its own."""

import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from service_process import ENTRY, PATIENCE_S, START_S

_FIRST_LINE = re.compile(r"pourkeep: .+ collects at .+ for 127\.0\.0\.1\n")


class Collector:
    """A bench's program while it runs. Its log is in `log`."""

    def __init__(self, config: Path) -> None:
        self.log = config.with_name(f"collect-{time.monotonic_ns()}.log")
        with self.log.open("w") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-c", ENTRY, "collect", "--config", str(config)],
                stdout=subprocess.PIPE,
                stderr=log,
                text=True,
            )
        assert self.process.stdout is not None
        ready, _, _ = select.select([self.process.stdout], [], [], START_S)
        line = self.process.stdout.readline() if ready else ""
        if _FIRST_LINE.fullmatch(line) is None:
            self.end()
            raise AssertionError(f"said {line!r}; log: {self.log.read_text()}")

    def stop(self) -> int:
        """Ask it to stop; return its exit code."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(PATIENCE_S)

    def freeze(self) -> None:
        """Let it hang, as a machine whose network is gone without a goodbye."""
        self.process.send_signal(signal.SIGSTOP)

    def thaw(self) -> None:
        """Let it go on."""
        self.process.send_signal(signal.SIGCONT)

    def end(self) -> None:
        """Make sure that nothing of it is left."""
        self.process.kill()
        self.process.wait(PATIENCE_S)
        if self.process.stdout is not None:
            self.process.stdout.close()


@contextmanager
def collecting(config: Path) -> Iterator[Collector]:
    """Run it for the block."""
    collector = Collector(config)
    try:
        yield collector
    finally:
        collector.end()
