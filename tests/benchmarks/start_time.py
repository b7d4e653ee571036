"""How long from the start of the process to the first reading on disk.

    python tests/benchmarks/start_time.py

A scale sends ten lines a second before the service is there. The data folder is new each time.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from figures import Figure, judge
from served_workshop import WiredScale, line, scales, started, stop, write_config

from collector.errors import StoreError
from collector.store import History

ROUNDS = 5
LOOK_EVERY_S = 0.02
SPEAK_EVERY_S = 0.1
PATIENCE_S = 20.0
MUST_S = 2.0
"""The design's budget."""


def is_stored(history: History, channel: str) -> bool:
    """Tell whether the store holds a reading; until the service has made it, it does not."""
    try:
        return history.last_reading_us([channel]) is not None
    except StoreError:
        return False


def seconds_until_stored(scale: WiredScale, history: History) -> float:
    """Speak until a reading is on disk; return how long that took."""
    began_s = speak_s = time.monotonic()
    while not is_stored(history, scale.instrument()["name"]):
        now_s = time.monotonic()
        assert now_s - began_s < PATIENCE_S, "no reading came to be stored"
        if now_s >= speak_s:
            speak_s = now_s + SPEAK_EVERY_S
            scale.send(line(0.0, steady=True))
        time.sleep(LOOK_EVERY_S)
    return time.monotonic() - began_s


def one_start() -> float:
    """Start the service once; return the seconds to its first stored reading."""
    with tempfile.TemporaryDirectory() as name, scales(["pier"]) as (scale,):
        config = write_config(Path(name), [scale.instrument()])
        began_s = time.monotonic()
        process: subprocess.Popen[str] = started(config)
        launched_s = time.monotonic() - began_s
        try:
            return launched_s + seconds_until_stored(scale, History(Path(name) / "data"))
        finally:
            stop(process)


def measure() -> list[Figure]:
    """Return the median time to the first stored reading."""
    seconds = statistics.median(one_start() for _ in range(ROUNDS))
    what = f"start to first stored reading, median of {ROUNDS}"
    return [Figure(what, seconds, MUST_S, "s", at_most=1.0)]


if __name__ == "__main__":
    sys.exit(judge(measure))
