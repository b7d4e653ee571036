"""Pours drawn at random, judged without one mark, as `tests/benchmarks/trial.py` plays them.

A sample of another seed than the one that the costs of the scenes were set on, held to all that
the budgets ask of a thousand lots.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

LOTS, SEED = 150, 20


@pytest.mark.timeout(600)
def test_pours_drawn_at_random_are_followed_without_one_mark(tmp_path: Path) -> None:
    figures = tmp_path / "figures.json"
    command = [sys.executable, "-m", "tests.benchmarks.trial"]
    command += ["--lots", str(LOTS), "--seed", str(SEED), "--json", str(figures)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    trial = json.loads(figures.read_text())
    for name, phase in trial["phases"].items():
        assert phase["recall"] >= 0.99, name
        assert phase["precision"] >= 0.99, name
    assert trial["weighings_within"] >= 0.995
    assert trial["faults_planted"] > LOTS // 2
    assert trial["faults_missed"] == 0
    assert trial["nuisance_per_lot"] <= 0.05
    assert trial["delay_p95_s"] <= 3.0
    assert 0.85 <= trial["eta_coverage"] <= 0.95
    assert trial["eta_width_half_way"] <= 0.25
