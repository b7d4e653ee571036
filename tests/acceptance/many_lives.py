"""A data folder and the short lives of the services on it, each killed at a chosen moment."""

import os
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

import msgspec
from short_life import LifePlan

ROOT = Path(__file__).parents[2]
SHORT_LIFE = Path(__file__).with_name("short_life.py")
PATHS = (ROOT, ROOT / "tests" / "acceptance", ROOT / "tests" / "benchmarks")
PATIENCE_S = 20.0


class HandedIn(NamedTuple):
    """A reading that was handed in, and when (monotonic, nanoseconds)."""

    at_ns: int
    channel: int
    taken_us: int
    value: int
    quality: int


class Moment(NamedTuple):
    """When to kill: so long after a stage of the start, or after the first commit from then on.

    A start without an open lot has no stage "replaying": there "ready" takes its place.
    """

    stage: str
    after_s: float


@dataclass
class Life:
    """What one child has reported, and when it was killed."""

    stages: dict[str, int] = field(default_factory=dict)
    handed_in: list[HandedIn] = field(default_factory=list)
    seen: dict[int, str] = field(default_factory=dict)
    givens: list[int] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    defects: list[str] = field(default_factory=list)
    commits_begun: int = 0
    commits_done: int = 0
    commits_when_ready: int = 0
    killed_ns: int = 0
    _rest: bytes = b""

    def take(self, text: bytes) -> None:
        """Take what came over the pipe."""
        *lines, self._rest = (self._rest + text).split(b"\n")
        for line in lines:
            kind, _, rest = line.decode().partition(" ")
            self._take_line(kind, rest)

    def _take_line(self, kind: str, rest: str) -> None:
        words = rest.split()
        if kind == "R":
            self.handed_in.append(HandedIn(*map(int, words)))
        elif kind == "E":
            self.seen[int(words[0])] = words[1]
        elif kind == "S":
            self.stages[words[0]] = int(words[1])
            if words[0] == "ready":
                self.commits_when_ready = self.commits_done
        elif kind == "C":
            self.commits_begun += 1
            if "ready" in self.stages:
                self.stages.setdefault("commit", int(words[0]))
        elif kind == "D":
            self.commits_done += 1
        elif kind == "G":
            self.givens.append(int(rest))
        else:
            (self.warnings if kind == "W" else self.defects).append(rest)

    def due_ns(self, moment: Moment) -> int | None:
        """Return when to kill it, None while the stage has not come."""
        since_ns = self.stages.get(moment.stage)
        if moment.stage == "replaying":
            since_ns = since_ns or self.stages.get("ready")
        return None if since_ns is None else since_ns + int(moment.after_s * 1e9)

    @property
    def collected_s(self) -> float:
        """Return how long readings were handed in before the kill."""
        return (self.killed_ns - self.handed_in[0].at_ns) / 1e9 if self.handed_in else 0.0

    @property
    def struck(self) -> str:
        """What the kill fell into."""
        if "ready" not in self.stages:
            replaying = "replaying" in self.stages and "replayed" not in self.stages
            return "replay" if replaying else "start"
        if self.commits_begun > self.commits_done:
            return "commit"
        if self.commits_done == self.commits_when_ready:
            return "before the first commit"
        return "between commits"


class Nursery:
    """The process that children are forked from; `end_us` is when the tape of the lot ends."""

    def __init__(self, seed: int, number: int) -> None:
        self._pipe, writing = os.pipe()
        os.set_blocking(self._pipe, False)
        self._process = subprocess.Popen(
            [sys.executable, str(SHORT_LIFE), str(writing), str(seed), str(number)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            pass_fds=(writing,),
            env={
                "PYTHONPATH": os.pathsep.join(map(str, PATHS)),
                "OPENBLAS_NUM_THREADS": "1",  # a process of one thread is safe to fork
            },
        )
        os.close(writing)
        self.end_us = int(self._answer())

    def live(self, plan: LifePlan, moment: Moment) -> Life:
        """Let a child live until the moment has come, and kill it."""
        assert self._process.stdin is not None
        self._process.stdin.write(msgspec.json.encode(plan).decode() + "\n")
        self._process.stdin.flush()
        child = int(self._answer())
        life = Life()
        try:
            self._follow(life, moment)
        finally:
            life.killed_ns = time.monotonic_ns()
            os.kill(child, signal.SIGKILL)
            status = int(self._answer())
            self._drain(life)
        assert life.defects == []
        assert status == -signal.SIGKILL
        return life

    def _follow(self, life: Life, moment: Moment) -> None:
        born_ns = time.monotonic_ns()
        while not life.defects:
            now_ns = time.monotonic_ns()
            assert now_ns - born_ns < PATIENCE_S * 1e9, f"{moment} did not come: {life.stages}"
            due_ns = life.due_ns(moment)
            if due_ns is not None and now_ns >= due_ns:
                return
            wait_s = 0.05 if due_ns is None else (due_ns - now_ns) / 1e9
            if select.select([self._pipe], [], [], wait_s)[0]:
                life.take(os.read(self._pipe, 65536))

    def _drain(self, life: Life) -> None:
        while True:
            try:
                life.take(os.read(self._pipe, 65536))
            except BlockingIOError:
                return

    def _answer(self) -> str:
        assert self._process.stdout is not None
        line = self._process.stdout.readline()
        assert line, "the nursery ended"
        return line

    def close(self) -> None:
        """End it."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait(PATIENCE_S)
        self._process.stdout.close()
        os.close(self._pipe)


@contextmanager
def nursery(seed: int, number: int) -> Iterator[Nursery]:
    """Give a nursery for the block."""
    made = Nursery(seed, number)
    try:
        yield made
    finally:
        made.close()
