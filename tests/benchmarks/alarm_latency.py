"""From a byte on the wire to the alarm at a screen, with sixteen scales at ten lines a second.

    python tests/benchmarks/alarm_latency.py

Sixteen benches, each with one scale on a pseudo-terminal and a lot open: sixteen instruments.
At each, vessel after vessel is filled too heavily and lifted off before it has rested long
enough to be judged on the scale. A container that has been away for 0.4 s has left: the lines
after the lift come 100, 200, 300 and 450 ms after the last one at rest, so it is the fourth that
completes the evidence, and nothing waits after it. The time runs from writing that line to the
alarm's message being read from /api/live.

A scale's lines are otherwise 100 ms apart, and the benches out of step with each other.
"""

import heapq
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import httpx
import msgspec
from figures import Figure, judge
from served_workshop import Served, WiredScale, line, scales, serving, write_config

BENCHES = tuple(f"bench-{number:02d}" for number in range(16))
EVERY_S = 0.1
SLIP_S = 0.05
APART_S = 0.317  # between the benches' motions, so that no two alarms are planned at once
VESSELS = 8
FILL_G = 120.0
TOO_MUCH_G = 9.0
VESSEL_G = 155.0
PITCHER_G = 300.0
WAX_G = VESSELS * FILL_G / 1.08
FRAGRANCE_G = 0.08 * WAX_G
FEWEST = 100
MUST_MS = 50.0
"""The design's budget, at the 99th percentile."""

RECIPE: dict[str, Any] = {
    "name": "Heavy hand, 120 g",
    "vessel": {"fill": f"{FILL_G} g", "tolerance": "2 g"},
    "pitcher": {"capacity": "3000 g"},
    "wax": {"name": "soy flake"},
    "fragrance": {"name": "heavy hand", "load": "8 %", "load_of": "wax"},
}

Key = tuple[str, int]


class Line(NamedTuple):
    """One line of a scale: when it is due, and the vessel whose alarm it completes."""

    due_s: float
    scale: int
    data: bytes
    completes: int | None


class Script:
    """What one scale sends, line after line."""

    def __init__(self, scale: int, begins_s: float) -> None:
        self.lines: list[Line] = []
        self._scale = scale
        self._at_s = begins_s
        self._grams = 0.0

    def say(self, *, steady: bool, after_s: float = EVERY_S, completes: int | None = None) -> None:
        """Send the display's value."""
        self._at_s += after_s
        data = line(self._grams, steady=steady)
        self.lines.append(Line(self._at_s, self._scale, data, completes))

    def put(self, grams: float, hold_s: float) -> None:
        """Let the display jump, and rest."""
        self._grams = grams
        for number in range(round(hold_s / EVERY_S)):
            self.say(steady=number > 2)

    def pour(self, grams: float, seconds: float) -> None:
        """Let the display rise steadily."""
        steps = round(seconds / EVERY_S)
        for _ in range(steps):
            self._grams += grams / steps
            self.say(steady=False)

    def lift(self, vessel: int) -> None:
        """Take a full vessel off; the fourth line shows that it has left."""
        self._grams = 0.0
        for _ in range(3):
            self.say(steady=False)
        self.say(steady=False, after_s=EVERY_S + SLIP_S, completes=vessel)
        self.put(0.0, 1.4)

    def lot(self) -> None:
        """Draw the wax, add the fragrance, and fill every vessel too heavily."""
        self.put(0.0, 1.5)
        self.put(PITCHER_G, 1.5)
        self.pour(WAX_G, 6.0)
        self.put(PITCHER_G + WAX_G, 2.5)
        self.pour(FRAGRANCE_G, 3.0)
        self.put(PITCHER_G + WAX_G + FRAGRANCE_G, 2.5)
        self.put(0.0, 1.5)
        for vessel in range(1, VESSELS + 1):
            self.put(VESSEL_G, 1.5)
            self.pour(FILL_G + TOO_MUCH_G, 2.0)
            self.put(VESSEL_G + FILL_G + TOO_MUCH_G, 1.3)
            self.lift(vessel)


class Listener:
    """A screen that notes when each fill's alarm came."""

    def __init__(self, base: str) -> None:
        self.came_s: dict[Key, float] = {}
        self.follows = threading.Event()
        self._base = base
        self._thread = threading.Thread(target=self._listen, name="screen", daemon=True)
        self._thread.start()

    def _listen(self) -> None:
        with httpx.stream("GET", f"{self._base}/api/live", timeout=60, trust_env=False) as answer:
            for data in _alarms(answer, self.follows):
                at_s = time.monotonic()
                alarm = msgspec.json.decode(data)
                if alarm["rule"] == "fill-grams":
                    self.came_s.setdefault((alarm["bench"], alarm["vessel"]), at_s)


def _alarms(answer: httpx.Response, follows: threading.Event) -> Iterator[str]:
    """Give the data of each alarm; the first beat says that the stream follows."""
    name = ""
    try:
        for text in answer.iter_lines():
            field, _, value = text.partition(": ")
            if field == "event":
                name = value
            elif field == "data" and name == "alarm":
                yield value
            elif field == "data" and name == "beat":
                follows.set()
    except httpx.RemoteProtocolError:  # the service was stopped while it streamed
        return


def play(wired: Sequence[WiredScale]) -> dict[Key, float]:
    """Write every line when it is due; return when those that complete an alarm were written."""
    began_s = time.monotonic() + 0.5
    scripts = [Script(n, n * APART_S) for n in range(len(wired))]
    for script in scripts:
        script.lot()
    written: dict[Key, float] = {}
    for due in heapq.merge(*(script.lines for script in scripts)):
        time.sleep(max(0.0, began_s + due.due_s - time.monotonic()))
        at_s = time.monotonic()
        wired[due.scale].send(due.data)
        if due.completes is not None:
            written[wired[due.scale].bench, due.completes] = at_s
    time.sleep(1.0)
    return written


def open_lots(served: Served) -> None:
    """Open a lot at every bench."""
    assert served.http.post("/api/recipes", json=RECIPE).status_code == 201
    for bench in BENCHES:
        wanted = {"recipe": RECIPE["name"], "vessels": VESSELS, "bench": bench}
        assert served.http.post("/api/lots", json=wanted).status_code == 201


def latencies_ms() -> list[float]:
    """Return the latency of every alarm, in order of size."""
    with tempfile.TemporaryDirectory() as name, scales(BENCHES) as wired:
        config = write_config(Path(name), [scale.instrument() for scale in wired])
        with serving(config) as served:
            open_lots(served)
            screen = Listener(served.base)
            assert screen.follows.wait(10.0), "the stream did not begin"
            written = play(wired)
    missing = written.keys() - screen.came_s.keys()
    assert not missing, f"no alarm for {sorted(missing)}"
    return sorted((screen.came_s[key] - written[key]) * 1000 for key in written)


def measure() -> list[Figure]:
    """Return the median and the 99th percentile."""
    spent = latencies_ms()
    assert len(spent) >= FEWEST
    assert spent[0] > 0, "an alarm came before the line that completes its evidence"
    p99 = statistics.quantiles(spent, n=100, method="inclusive")[98]
    what = f"byte to alarm, {len(BENCHES)} scales, {len(spent)} alarms"
    return [
        Figure(f"{what}, p50", statistics.median(spent), MUST_MS, "ms"),
        Figure(f"{what}, p99", p99, MUST_MS, "ms", at_most=1.0),
        Figure(f"{what}, slowest", spent[-1], MUST_MS, "ms"),
    ]


if __name__ == "__main__":
    sys.exit(judge(measure))
