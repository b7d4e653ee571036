"""A Chromium of the benchmark's own, and what its processes use."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from at_rest import processor_s, resident_mb
from playwright.sync_api import Browser, CDPSession, sync_playwright

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = ("--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking")
MB = 1_000_000


@contextmanager
def browsing() -> Iterator[Browser]:
    """Run the system's Chromium, drawing in software, for the block."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        try:
            yield browser
        finally:
            browser.close()


def chromiums() -> list[int]:
    """Return the processes of every Chromium that this process has started."""
    parents = {pid: parent for pid, parent in map(_parent, _pids()) if parent is not None}
    mine = [pid for pid in parents if os.getpid() in _line(pid, parents)]
    return [pid for pid in mine if "chromium" in _command(pid)]


def used_s(pids: list[int]) -> float:
    """Return the seconds of processor that processes have used so far."""
    return sum(processor_s(pid) for pid in pids)


def memory_mb(pids: list[int]) -> float:
    """Return the resident memory of processes; what they share counts for each."""
    return sum(resident_mb(pid) for pid in pids)


class PageMemory:
    """What a page holds after its garbage is gone."""

    def __init__(self, session: CDPSession) -> None:
        session.send("Performance.enable")
        session.send("HeapProfiler.collectGarbage")
        listed = session.send("Performance.getMetrics")["metrics"]
        metrics = {metric["name"]: float(metric["value"]) for metric in listed}
        self.heap_mb = metrics["JSHeapUsedSize"] / MB
        self.nodes = metrics["Nodes"]
        self.listeners = metrics["JSEventListeners"]


def _pids() -> list[int]:
    return [int(entry.name) for entry in Path("/proc").iterdir() if entry.name.isdigit()]


def _parent(pid: int) -> tuple[int, int | None]:
    try:
        fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    except OSError:  # it has ended
        return pid, None
    return pid, int(fields[1])


def _command(pid: int) -> str:
    try:
        return Path(f"/proc/{pid}/cmdline").read_text().partition("\0")[0]
    except OSError:  # as above
        return ""


def _line(pid: int, parents: dict[int, int]) -> list[int]:
    """Return a process's parent, the parent of that, and so on."""
    line = []
    while pid in parents and parents[pid] > 1:
        pid = parents[pid]
        line.append(pid)
    return line
