"""The simulated day from end to end: what was planted is what is found."""

import json
import re
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import httpx
import pytest
from service_process import ENTRY, json_of, lines, pourkeep

from api.command_line.demo import DAY_IS_OVER
from collector.lot_events import LotOpened, PhaseMarked
from collector.replay import derived_of, replay
from collector.store.history import History

EVER = 2**62
REST_S = 3.0
"""Three minutes of a day that is 60 times faster: a silent instrument would be noticed."""
SEEN_AT_REST = ("instruments", "health", "alarms")


def assert_replay_gives_the_journal(data: Path) -> None:
    """Judge every stored lot again: the same inputs must give the same events."""
    history = History(data)
    lots = history.lots()
    assert lots
    for lot in lots:
        events = [stored.event for stored in history.events(lot.id)]
        opened = events[0]
        assert isinstance(opened, LotOpened)
        channels = [channel.name for channel in opened.channels]
        readings = history.bench_readings(channels, opened.at_us, lot.closed_us or EVER)
        _bench, derived = replay(events, readings)
        assert derived == derived_of(events), lot.id


def day(data: Path, scenario: str, *more: str) -> list[str]:
    """Play a day to its end, and return what the program said."""
    done = pourkeep(
        *("demo", "--speed", "60", "--once", "--port", "0"),
        *("--scenario", scenario, "--data", str(data), *more),
        timeout_s=280,
    )
    assert done.returncode == 0, done.stdout + done.stderr[-3000:]
    return list(lines(done.stdout))


def test_a_short_day_ends_by_itself_without_a_fault(tmp_path: Path) -> None:
    said = day(tmp_path / "data", "short")
    assert re.fullmatch(r"pourkeep: .* http://127\.0\.0\.1:\d+/", said[0])
    assert said[-1] == "0 faults planted, 0 of them found."
    (lot,) = json_of("lots", "--json", "--data", tmp_path / "data")
    assert (lot["state"], lot["fills"], lot["deviations"]) == ("closed", 2, 0)
    assert pourkeep("verify", "--data", tmp_path / "data").returncode == 0
    assert_replay_gives_the_journal(tmp_path / "data")


def test_after_a_day_the_bench_rests_and_nothing_is_wrong() -> None:
    command = ["demo", "--speed", "60", "--port", "0", "--scenario", "short"]
    with subprocess.Popen(
        [sys.executable, "-c", ENTRY, *command],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as demo:
        try:
            assert demo.stdout is not None
            address = demo.stdout.readline().split()[-1]
            assert demo.stdout.readline() == f"{DAY_IS_OVER}\n"
            time.sleep(REST_S)
            told = {path: json.loads(fetched(f"{address}api/{path}")) for path in SEEN_AT_REST}
        finally:
            demo.terminate()
            said, _ = demo.communicate(timeout=20)
    assert (demo.returncode, said) == (0, "pourkeep: the demo ended\n")
    assert {instrument["state"] for instrument in told["instruments"]} == {"reading"}
    assert told["health"]["status"] == "ok"
    assert told["alarms"] == []


def fetched(url: str) -> str:
    answer = httpx.get(url, trust_env=False)
    answer.raise_for_status()
    return answer.text


def found(data: Path) -> Counter[tuple[str, str, str | None, int | None]]:
    """The deviations of a day: which rule, in which lot, phase and vessel."""
    listed = json_of("lots", "--json", "--data", data)
    lots = [json_of("lot", lot["id"], "--json", "--data", data) for lot in listed]
    return Counter(
        (lot["id"], deviation["rule"], deviation["phase"], deviation["vessel"])
        for lot in lots
        for deviation in lot["deviations"]
    )


@pytest.mark.timeout(600)  # the slow test: a day of two hours takes two minutes, and it is two
def test_the_whole_day_finds_exactly_what_was_planted_with_marks_and_without(
    tmp_path: Path,
) -> None:
    assert_finds_what_was_planted(tmp_path, day(tmp_path / "data", "lantern_yard"))
    unmarked = day(tmp_path / "unmarked", "lantern_yard", "--no-marks")
    assert unmarked[-1].startswith("8 faults planted, 8 of them found")
    assert not History(tmp_path / "unmarked").events_of([PhaseMarked])
    assert found(tmp_path / "unmarked") == found(tmp_path / "data")


def assert_finds_what_was_planted(tmp_path: Path, said: list[str]) -> None:
    counts = re.fullmatch(r"(\d+) faults planted, (\d+) of them found\.", said[-1])
    assert counts is not None
    assert counts[1] == counts[2] != "0"
    assert not [line for line in said if "not planted" in line or "not found" in line]
    listed = json_of("lots", "--json", "--data", tmp_path / "data")
    assert sum(lot["deviations"] for lot in listed) == int(counts[1])
    assert {lot["state"] for lot in listed} == {"closed"}
    assert pourkeep("verify", "--data", tmp_path / "data").returncode == 0
    assert_replay_gives_the_journal(tmp_path / "data")


def test_a_day_that_is_not_there_fails_with_its_reason(tmp_path: Path) -> None:
    done = pourkeep("demo", "--once", "--port", "0", "--scenario", "doldrums", "--data", tmp_path)
    assert done.returncode != 0
    assert "doldrums" in done.stderr
