"""`pourkeep export`: what it prints, what it leaves, how it ends."""

import asyncio
import csv
import io
import os
import pty
import resource
import subprocess
import sys
from pathlib import Path

import pytest
from export_samples import all_readings, keep_lot, removal
from lot_by_hand import BENCH, RECIPE, write_config
from service_process import ENTRY, lines, pourkeep, serving
from store_samples import LOT

COUNT = len(all_readings())


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a data folder with the sample lot."""
    return asyncio.run(keep_lot(tmp_path_factory.mktemp("export")))


def export(data: Path, *arguments: str | Path) -> subprocess.CompletedProcess[str]:
    return pourkeep("export", LOT, "--data", data, *arguments)


def readings_in(text: str) -> int:
    rows = csv.DictReader(io.StringIO(text, newline=""))
    return sum(row["kind"] == "reading" for row in rows)


def test_without_a_file_it_goes_to_standard_output(data: Path) -> None:
    command = [sys.executable, "-c", ENTRY, "export", LOT, "--data", str(data)]
    done = subprocess.run([*command, "--format", "csv"], capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert readings_in(done.stdout.decode()) == COUNT


@pytest.mark.parametrize("name", ["csv", "parquet", "jsonl"])
def test_a_file_gets_its_name_and_is_never_written_over(
    data: Path, tmp_path: Path, name: str
) -> None:
    out = tmp_path / f"lot.{name}"
    done = export(data, "--format", name, "--out", out)
    assert (done.returncode, done.stdout) == (0, "")
    assert lines(done.stderr)[0].startswith(f"{out}: lot {LOT}, {COUNT} readings, ")
    assert "\r" not in done.stderr  # progress is for a terminal
    before = out.read_bytes()
    assert list(tmp_path.iterdir()) == [out]
    again = export(data, "--format", name, "--out", out)
    assert again.returncode == 1
    assert "there is a file by this name already" in again.stderr
    assert out.read_bytes() == before


def test_a_lot_that_is_not_there_leaves_no_file(data: Path, tmp_path: Path) -> None:
    out = tmp_path / "lot.csv"
    done = pourkeep("export", "1999-01-01-1", "--data", data, "--format", "csv", "--out", out)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == (
        f"pourkeep: There is no lot '1999-01-01-1'. pourkeep lots --data {data} lists them.\n"
    )
    assert list(tmp_path.iterdir()) == []


def test_called_wrong_it_is_refused(data: Path) -> None:
    assert export(data).returncode == 2
    unknown = export(data, "--format", "xls")
    assert (unknown.returncode, unknown.stdout) == (2, "")
    assert "parquet" in unknown.stderr


def test_a_disk_that_takes_no_more_leaves_no_file(data: Path, tmp_path: Path) -> None:
    """A file cannot grow beyond RLIMIT_FSIZE, see setrlimit(2)."""
    out = tmp_path / "lot.csv"
    command = [sys.executable, "-c", ENTRY, "export", LOT, "--data", str(data), "--format", "csv"]
    done = subprocess.run(
        [*command, "--out", str(out)],
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=limit_files,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith(f"pourkeep: {out}: this file could not be made (File too large)")
    assert list(tmp_path.iterdir()) == []


def limit_files() -> None:
    """Leave room for the 32 KiB that SQLite lays beside its log, and not for the whole export."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, 50_000))


def test_that_readings_were_removed_is_said_and_the_rest_is_exported(tmp_path: Path) -> None:
    asyncio.run(keep_lot(tmp_path, removal()))
    out = tmp_path / "lot.csv"
    done = export(tmp_path, "--format", "csv", "--out", out)
    assert done.returncode == 1
    assert f"Readings of lot {LOT} were removed from the store" in done.stderr
    assert f"What remains is exported: {COUNT} readings" in done.stderr
    assert readings_in(out.read_text("utf-8")) == COUNT


def test_it_works_while_the_service_runs(tmp_path: Path) -> None:
    with serving(write_config(tmp_path)) as service:
        service.post("/api/recipes", RECIPE)
        opening = {"recipe": RECIPE["name"], "vessels": 2, "bench": BENCH}
        lot = service.post("/api/lots", opening)["id"]
        done = pourkeep("export", lot, "--data", tmp_path / "data", "--format", "jsonl")
        assert (done.returncode, done.stderr) == (0, "")
        assert lines(done.stdout)[-1].startswith('{"kind":"end"')
        assert service.stop()[0] == 0


def on_terminal(*arguments: str) -> tuple[int, str]:
    """Run a command whose output and errors are a terminal; return its code and what it said."""
    ours, its = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-c", ENTRY, *arguments], stdin=its, stdout=its, stderr=its
    ) as process:
        os.close(its)
        said = b""
        try:
            while part := os.read(ours, 4096):
                said += part
        except OSError:  # EIO: the other end is closed, see pty(7)
            pass
        code = process.wait(30)
    os.close(ours)
    return code, said.decode()


def test_a_terminal_is_shown_no_parquet(data: Path) -> None:
    code, said = on_terminal("export", LOT, "--data", str(data), "--format", "parquet")
    assert code == 2
    assert f"Add --out {LOT}.parquet" in said


def test_a_terminal_is_told_how_far_it_has_come(data: Path, tmp_path: Path) -> None:
    out = tmp_path / "lot.csv"
    arguments = ("export", LOT, "--data", str(data), "--format", "csv", "--out", str(out))
    code, said = on_terminal(*arguments)
    assert code == 0
    assert "\r100 % " in said
    assert said.splitlines()[-1].startswith(f"{out}: lot {LOT}")


def test_a_reader_that_has_seen_enough_causes_no_complaint(data: Path) -> None:
    command = [sys.executable, "-c", ENTRY, "export", LOT, "--data", str(data), "--format", "csv"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        process.stdout.close()
        _, complaint = process.communicate(timeout=30)
    assert complaint == b""
