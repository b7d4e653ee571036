"""`python -m simulators day` as a process of its own, against a stand-in for the service."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from sim_stand_in import LOT, StandIn, stand_in

ROOT = Path(__file__).parents[2]
START_US = 1_764_061_200_000_000  # 2025-11-25T09:00:00Z
NOBODY = "http://127.0.0.1:9"  # the discard port: no service is there


@pytest.fixture
def service() -> Iterator[StandIn]:
    with stand_in() as server:
        yield server


def start_day(folder: Path, api: str, *options: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "simulators", "day", "--scenario", "short", "--api", api]
    places = ["--dir", str(folder), "--clock", str(folder / "clock")]
    times = ["--start", "2025-11-25T09:00:00Z"]
    return subprocess.Popen(
        [*command, *places, *times, *options], cwd=ROOT, stderr=subprocess.PIPE, text=True
    )


def wait_for(condition: Callable[[], bool], within_s: float = 10.0) -> None:
    deadline = time.monotonic() + within_s
    while not condition():
        assert time.monotonic() < deadline
        time.sleep(0.01)


def clock_us(folder: Path) -> int:
    return int.from_bytes((folder / "clock").read_bytes(), "little")


def marks_of(service: StandIn) -> list[dict[str, str]]:
    return [body for _, path, body in service.asked if path == f"/api/lots/{LOT}/marks"]


def test_a_day_runs_to_its_end_and_says_what_it_planted(tmp_path: Path, service: StandIn) -> None:
    day = start_day(tmp_path, service.url, "--speed", "200")
    _, told = day.communicate(timeout=60)
    assert day.returncode == 0, told
    assert json.loads((tmp_path / "planted.json").read_text()) == []
    calls = [(method, path) for method, path, _ in service.asked if path != "/api/workshop"]
    assert calls == [
        ("POST", "/api/recipes"),
        ("POST", "/api/lots"),
        ("GET", f"/api/lots/{LOT}"),
        ("POST", f"/api/lots/{LOT}/marks"),
        ("POST", f"/api/lots/{LOT}/marks"),
        ("POST", f"/api/lots/{LOT}/close"),
    ]
    assert marks_of(service) == [
        {"phase": "stir", "edge": "begin"},
        {"phase": "stir", "edge": "end"},
    ]
    assert "opens lot 2025-11-25-1: 2 x Tiny tide, 120 g" in told.splitlines()[0]
    assert clock_us(tmp_path) - START_US > 150_000_000


def test_a_maker_without_marks_gives_none_and_a_quiet_day_tells_nothing(
    tmp_path: Path, service: StandIn
) -> None:
    day = start_day(tmp_path, service.url, "--speed", "200", "--no-marks", "--quiet")
    _, told = day.communicate(timeout=60)
    assert day.returncode == 0, told
    assert marks_of(service) == []
    assert told == ""


def test_the_instruments_speak_and_the_clock_runs_before_the_service_is_there(
    tmp_path: Path,
) -> None:
    (tmp_path / "ready").touch()
    (tmp_path / "planted.json").write_text("[]")
    day = start_day(tmp_path, NOBODY, "--speed", "50")
    wait_for(lambda: not (tmp_path / "planted.json").exists())  # an earlier day's is forgotten
    wait_for((tmp_path / "ready").exists)
    assert (tmp_path / "dev" / "scale").resolve().is_char_device()
    assert len(list((tmp_path / "w1").iterdir())) == 3
    before = clock_us(tmp_path)
    assert before >= START_US
    wait_for(lambda: clock_us(tmp_path) > before)
    assert stopped(day, signal.SIGTERM) == 128 + signal.SIGTERM
    assert not (tmp_path / "planted.json").exists()


def stopped(day: subprocess.Popen[str], number: signal.Signals) -> int:
    """Send a signal, and return the exit code, which has to come promptly."""
    began = time.monotonic()
    day.send_signal(number)
    day.communicate(timeout=5)
    assert time.monotonic() - began < 3.0
    return day.returncode


def test_a_signal_in_the_middle_of_the_day_ends_it_at_once(
    tmp_path: Path, service: StandIn
) -> None:
    day = start_day(tmp_path, service.url, "--speed", "5")
    wait_for(lambda: any(path == "/api/lots" for _, path, _ in service.asked))
    assert stopped(day, signal.SIGTERM) == 128 + signal.SIGTERM
    assert not os.path.lexists(tmp_path / "dev" / "scale")


def test_a_refused_lot_ends_the_day_with_what_the_service_said(
    tmp_path: Path, service: StandIn
) -> None:
    service.refuses_lots = [422]
    day = start_day(tmp_path, service.url, "--speed", "200")
    _, told = day.communicate(timeout=60)
    assert day.returncode == 1
    assert "POST /api/lots: 422" in told
    assert "Not this one" in told


def test_a_busy_bench_is_waited_for(tmp_path: Path, service: StandIn) -> None:
    service.refuses_lots = [409, 409]
    day = start_day(tmp_path, service.url, "--speed", "200")
    _, told = day.communicate(timeout=60)
    assert day.returncode == 0
    assert told.count("waits until the bench is free") == 1
    assert "closes lot" in told
