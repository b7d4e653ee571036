"""The session's rule in tests/conftest.py, tried on sessions of their own."""

import subprocess
import sys
from pathlib import Path

import pytest

CONFTEST = Path(__file__).parents[1] / "conftest.py"


SHARED = ("-n", "2", "--dist", "loadfile")


def run_session(
    folder: Path, test_file: str, options: tuple[str, ...] = ()
) -> subprocess.CompletedProcess[str]:
    (folder / "conftest.py").write_text(CONFTEST.read_text("utf-8"), "utf-8")
    (folder / "test_it.py").write_text(test_file, "utf-8")
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "--rootdir", str(folder)]
    command += options
    return subprocess.run(
        command, cwd=folder, capture_output=True, text=True, check=False, timeout=60
    )


@pytest.mark.parametrize("options", [(), SHARED], ids=["alone", "shared"])
@pytest.mark.parametrize(
    ("test_file", "named"),
    [
        ("import pytest\n@pytest.mark.skip\ndef test_a(): ...\ndef test_b(): ...", "test_a"),
        ("import pytest\ndef test_b(): ...\npytest.skip(allow_module_level=True)", "test_it.py"),
        ("import pytest\n@pytest.mark.xfail\ndef test_a(): assert 0", "test_a"),
    ],
    ids=["a test", "a file", "an expected failure"],
)
def test_a_skip_fails_the_session_and_is_named(
    tmp_path: Path, test_file: str, named: str, options: tuple[str, ...]
) -> None:
    done = run_session(tmp_path, test_file, options)
    complaints = [line for line in done.stdout.splitlines() if "counts as failed" in line]
    assert done.returncode != 0
    assert len(complaints) == 1
    assert named in complaints[0]


@pytest.mark.parametrize("options", [(), SHARED], ids=["alone", "shared"])
def test_a_session_without_skips_passes(tmp_path: Path, options: tuple[str, ...]) -> None:
    done = run_session(tmp_path, "def test_a(): ...", options)
    assert done.returncode == 0
    assert "counts as failed" not in done.stdout
