"""A disk that fills up under the running service, and has space again."""

import json
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import pytest
from hand_made_bench import HandMadeScale, ProbeFiles
from lot_by_hand import DEVICE, SCALE, write_config
from screen_watch import ScreenWatch
from service_process import ENTRY, Service, eventually, serving
from small_disk import LimitedFiles, SmallFileSystem, fullest_disk

A_FEW_S = 8.0
"""Until the trouble is told with how long memory holds, for which a second refusal is needed."""

STORED = f"""
import json, pathlib, sys
from collector.store.history import History
span = History(pathlib.Path(sys.argv[1])).readings({SCALE!r}, 0, 2**62)
print(json.dumps([span.times.tolist(), span.values.tolist()]))
"""

Disk = SmallFileSystem | LimitedFiles


@contextmanager
def rising(scale: HandMadeScale) -> Iterator[None]:
    """Let the display rise all the time, so that each line has a value of its own."""
    over = threading.Event()

    def rise() -> None:
        grams = 0.0
        while not over.is_set():
            grams += 1.0
            scale.put(grams, 0.05)

    rising = threading.Thread(target=rise)
    rising.start()
    try:
        yield
    finally:
        over.set()
        rising.join()


def last_taken(service: Service) -> str:
    return str(service.instrument(SCALE)["last"]["taken_at"])


def waiting(service: Service) -> int:
    """Return how many readings are in memory only."""
    checks = service.http.get("/api/health").json()["checks"]
    (store,) = [check for check in checks if check["name"] == "store"]
    return int(store["waiting_readings"])


def told_trouble(screen: ScreenWatch) -> str:
    told = screen.wait_for(
        lambda told: told.name == "beat" and "memory, which holds" in (told.data["trouble"] or ""),
        A_FEW_S,
    )
    return str(told.data["trouble"])


def stored(disk: Disk, data: Path) -> tuple[list[int], list[int]]:
    times, values = json.loads(disk.output(sys.executable, "-c", STORED, str(data)))
    return times, values


def verified(disk: Disk, data: Path) -> None:
    disk.output(sys.executable, "-c", ENTRY, "verify", "--data", str(data))


@pytest.mark.parametrize("make", [fullest_disk, LimitedFiles])
def test_a_full_disk_costs_nothing_that_was_measured(
    tmp_path: Path, make: Callable[[Path], Disk]
) -> None:
    data = tmp_path / "data"
    data.mkdir()
    ProbeFiles(tmp_path / "w1").set(DEVICE, 60.0)
    with make(data) as disk, HandMadeScale(tmp_path / "scale") as scale:
        config = write_config(tmp_path)
        with serving(config, disk.program) as service:
            pid = service.process.pid
            eventually(lambda: service.instrument(SCALE)["state"] == "reading")
            with rising(scale):
                goes_through_a_full_disk(disk, service, data)
            eventually(lambda: service.get("/api/health")["status"] != "failing")
            assert pid == service.process.pid
            assert service.stop()[0] == 0
        verified(disk, data)
        times, values = stored(disk, data)
        assert times == sorted(set(times))
        sent = [round(grams * 1000) for _, grams in scale.sent]
        kept, gone = from_the_rise(values), from_the_rise(sent)
        assert len(kept) > 30
        assert kept == gone[: len(kept)]


def goes_through_a_full_disk(disk: Disk, service: Service, data: Path) -> None:
    with ScreenWatch(service.base) as screen:
        pid = service.process.pid
        disk.fill(pid)
        trouble = told_trouble(screen)
        assert disk.said in trouble
        health = service.http.get("/api/health")
        assert health.status_code == 503
        (store,) = [c for c in health.json()["checks"] if c["name"] == "store"]
        assert (store["status"], store["lost_readings"]) == ("failing", 0)
        assert "memory, which holds about" in store["sentence"]
        verified(disk, data)  # nothing that was stored is harmed
        before = last_taken(service)
        eventually(lambda: seconds_between(before, last_taken(service)) > 2)  # collection goes on
        assert waiting(service) > 10
        disk.give_space(pid)
        since_s = time.time()
        screen.wait_for(
            lambda told: (
                told.at_s > since_s and told.name == "beat" and told.data["trouble"] is None
            )
        )
        eventually(lambda: waiting(service) < 5)


def seconds_between(earlier: str, later: str) -> float:
    began, ended = datetime.fromisoformat(earlier), datetime.fromisoformat(later)
    return (ended - began).total_seconds()


def from_the_rise(values: list[int]) -> list[int]:
    """Return values from where they began to rise from nothing on the scale."""
    return values[next(n for n, value in enumerate(values) if value > 0) :]
