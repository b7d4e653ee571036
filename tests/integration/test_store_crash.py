"""kill -9 at random moments. It shows what a dying process leaves, not what a power cut does."""

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest
from sealing_samples import blocks
from store_samples import SCALE, scale_readings, weighing

from collector.conclusions import WeighingAccepted
from collector.store import History, Store
from collector.store.verify import verify

WRITER = Path(__file__).with_name("store_crash_writer.py")
ROOT = WRITER.parents[2]
KILLS = 20
LONGEST_LIFE_S = 0.05


def acknowledged_before_kill(
    folder: Path, run: int, life_s: float, *manner: str
) -> list[tuple[int, int]]:
    """Start a writer, let it live on after its first commit, kill it, return what it was told."""
    with subprocess.Popen(
        [sys.executable, str(WRITER), str(folder), str(run), *manner],
        stdout=subprocess.PIPE,
        text=True,
        env={"PYTHONPATH": str(ROOT)},
    ) as writer:
        assert writer.stdout is not None
        first = writer.stdout.readline()
        time.sleep(life_s)
        writer.kill()
        lines = (first + writer.stdout.read()).splitlines(keepends=True)
    whole = [line.split() for line in lines if line.endswith("\n")]
    return [(int(seq), int(at_us)) for seq, at_us in whole]


def assert_all_there(history: History, acknowledged: list[tuple[int, int]], run: int) -> None:
    stored = {found.seq: found.event for found in history.events(f"2026-11-25-{run}")}
    for seq, at_us in acknowledged:
        readings = scale_readings(at_us)
        assert stored[seq] == weighing(readings, f"2026-11-25-{run}")
    spans = [found for found in stored.values() if isinstance(found, WeighingAccepted)]
    assert len(spans) - len(acknowledged) in {0, 1}  # one may be stored and not yet told
    first, last = spans[0].evidence.from_us, spans[-1].evidence.to_us
    assert history.readings(SCALE, first, last).times.size == 5 * len(spans)


@pytest.mark.timeout(180)
@pytest.mark.parametrize("manner", [(), ("seal",)])
def test_nothing_acknowledged_is_gone_after_kill_9(tmp_path: Path, manner: tuple[str, ...]) -> None:
    moments = random.Random(20261125)  # noqa: S311 - moments, not secrets
    history = History(tmp_path)
    lives = []
    for run in range(1, KILLS + 1):
        life_s = moments.random() * LONGEST_LIFE_S
        acknowledged = acknowledged_before_kill(tmp_path, run, life_s, *manner)
        assert_all_there(history, acknowledged, run)
        assert verify(tmp_path) == []
        lives.append(acknowledged)
    assert len(history.lots()) == KILLS
    assert len({len(life) for life in lives}) > 3, "the kills did not fall at different moments"
    Store.open(tmp_path).close()
    assert bool(blocks(tmp_path)) == bool(manner)
    for run, acknowledged in enumerate(lives, start=1):
        assert_all_there(history, acknowledged, run)


@pytest.mark.timeout(180)
def test_a_store_killed_at_birth_opens(tmp_path: Path) -> None:
    moments = random.Random(7)  # noqa: S311 - moments, not secrets
    for run in range(1, 9):
        folder = tmp_path / str(run)
        command = [sys.executable, str(WRITER), str(folder), "1"]
        with subprocess.Popen(command, env={"PYTHONPATH": str(ROOT)}) as writer:
            while not (folder / "pourkeep.lock").exists():
                assert writer.poll() is None
            time.sleep(moments.random() * 0.006)
            writer.kill()
        Store.open(folder).close()
        assert verify(folder) == []
