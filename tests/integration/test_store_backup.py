import os
import re
import resource
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from store_at_hand import LAST, dump, lay, pourkeep, tamper
from store_samples import alarm_raised

from collector.errors import BackupError, StoreError
from collector.store import Store
from collector.store.backup import back_up
from collector.store.ledger import Ledger
from collector.store.unfinished_file import UnfinishedFile

ENTRY = "import sys; from api.command_line import main; sys.exit(main())"
LARGE = 400_000
"""Readings that make a file of some 10 MB, so that a backup takes a while."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return lay(tmp_path / "data")


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return lay(tmp_path_factory.mktemp("large") / "data", LARGE)


@contextmanager
def no_file_may_grow_beyond(size: int) -> Iterator[None]:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_backup_holds_what_the_store_holds_in_one_file(folder: Path, tmp_path: Path) -> None:
    facts = back_up(folder, tmp_path / "f.db")
    assert (facts.events, facts.faults) == (LAST, ())
    assert facts.size == (tmp_path / "f.db").stat().st_size
    assert dump(tmp_path / "f.db") == dump(folder / "pourkeep.db")
    assert names(tmp_path) == ["data", "f.db"]


@pytest.mark.asyncio
async def test_what_is_still_in_the_log_of_a_running_store_is_in_the_backup(
    folder: Path, tmp_path: Path
) -> None:
    store = Store.open(folder)
    await store.commit([], [alarm_raised("b")])
    assert back_up(folder, tmp_path / "f.db").events == LAST + 1
    await store.commit([], [alarm_raised("c")])
    store.close()
    assert back_up(folder, tmp_path / "g.db").events == LAST + 2


def test_the_log_that_a_dead_service_left_is_in_the_backup(folder: Path, tmp_path: Path) -> None:
    ledger = Ledger(folder)
    ledger.commit([], [alarm_raised("b")])
    dead = tmp_path / "dead"
    dead.mkdir()
    for name in ("pourkeep.db", "pourkeep.db-wal"):
        (dead / name).write_bytes((folder / name).read_bytes())
    ledger.close()
    assert back_up(dead, tmp_path / "f.db").events == LAST + 1


def test_a_file_that_is_there_is_never_written_over(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "f.db").write_text("last week's")
    assert pourkeep("backup", "--data", folder, "--to", tmp_path / "f.db") == 1
    assert "there is a file by this name already" in capsys.readouterr().err
    assert (tmp_path / "f.db").read_text() == "last week's"
    assert names(tmp_path) == ["data", "f.db"]


def test_a_file_that_appears_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    final = tmp_path / "f.db"
    with UnfinishedFile(final) as made:
        made.path.write_text("ours")
        final.write_text("theirs")
        with pytest.raises(BackupError, match="by this name already"):
            made.finish()
    assert final.read_text() == "theirs"
    assert names(tmp_path) == ["f.db"]


def test_a_disk_without_hard_links_will_do(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_paths: Path) -> None:
        raise PermissionError(1, "Operation not permitted")  # what link(2) gives on FAT

    monkeypatch.setattr(os, "link", refuse)
    assert back_up(folder, tmp_path / "f.db").events == LAST
    assert names(tmp_path) == ["data", "f.db"]


def test_two_backups_into_one_file_do_not_mix(tmp_path: Path) -> None:
    with UnfinishedFile(tmp_path / "f.db") as first:
        first.path.write_text("first")
        with (
            pytest.raises(BackupError, match="another process is writing"),
            UnfinishedFile(tmp_path / "f.db"),
        ):
            pass
        first.finish()
    assert (tmp_path / "f.db").read_text() == "first"


def test_a_full_disk_leaves_nothing_that_looks_like_a_backup(large: Path, tmp_path: Path) -> None:
    with no_file_may_grow_beyond(3_000_000), pytest.raises(BackupError) as refused:
        back_up(large, tmp_path / "f.db")
    assert re.search(r"could not be written \(.*\).* MB are free there", refused.value.message)
    assert names(tmp_path) == []
    back_up(large, tmp_path / "f.db")


def test_a_backup_that_is_killed_leaves_nothing_that_looks_like_one(
    large: Path, tmp_path: Path
) -> None:
    unfinished = tmp_path / "f.db.unfinished"
    command = [sys.executable, "-c", ENTRY, "backup", "--data", str(large)]
    with subprocess.Popen([*command, "--to", str(tmp_path / "f.db")]) as process:
        deadline = time.monotonic() + 20
        while not (unfinished.exists() and unfinished.stat().st_size > 1_000_000):
            assert process.poll() is None
            assert time.monotonic() < deadline
        process.kill()
    assert process.returncode == -signal.SIGKILL
    assert "f.db" not in names(tmp_path)
    assert unfinished.exists(), "it was killed in the middle"
    back_up(large, tmp_path / "f.db")
    assert names(tmp_path) == ["f.db"]


def test_what_a_cut_left_beside_an_unfinished_copy_is_not_taken_for_its_own(
    folder: Path, tmp_path: Path
) -> None:
    for ending in ("", "-journal", "-wal"):
        (tmp_path / f"f.db.unfinished{ending}").write_bytes(b"left over" * 1000)
    assert back_up(folder, tmp_path / "f.db").faults == ()
    assert names(tmp_path) == ["data", "f.db"]


@pytest.mark.parametrize(
    ("statement", "reason"),
    [
        ("DELETE FROM event WHERE seq = 3", "its journal breaks at event 3 of 6"),
        ("DELETE FROM event WHERE seq >= 5", "its journal breaks at event 5 of 6"),
    ],
)
def test_a_store_with_a_broken_journal_gives_no_backup(
    folder: Path, tmp_path: Path, statement: str, reason: str
) -> None:
    tamper(folder / "pourkeep.db", statement)
    with pytest.raises(BackupError, match=reason) as refused:
        back_up(folder, tmp_path / "f.db")
    assert "pourkeep verify --data" in refused.value.message
    assert names(tmp_path) == ["data"]


def test_a_damaged_page_of_the_store_gives_no_backup(folder: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection:
        (root,) = connection.execute(
            "SELECT rootpage FROM sqlite_schema WHERE name = 'reading'"
        ).fetchone()
    content = bytearray((folder / "pourkeep.db").read_bytes())
    content[(root - 1) * 4096 : root * 4096] = b"\xa5" * 4096
    (folder / "pourkeep.db").write_bytes(content)
    with pytest.raises(BackupError, match="this file is damaged"):
        back_up(folder, tmp_path / "f.db")
    assert names(tmp_path) == ["data"]


def test_a_small_fault_of_the_store_is_told_and_costs_no_backup(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(folder / "pourkeep.db", "UPDATE lot SET vessels = 99")
    assert pourkeep("backup", "--data", folder, "--to", tmp_path / "f.db") == 0
    out, err = capsys.readouterr()
    assert "6 events" in out
    assert "the store has 1 fault, and so has its copy" in err


def test_a_link_is_not_followed(folder: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.write_text("precious")
    (tmp_path / "copy.unfinished").symlink_to(other)
    with pytest.raises(BackupError, match="could not be made"):
        back_up(folder, tmp_path / "copy")
    assert other.read_text() == "precious"


@pytest.mark.parametrize("name", ["pourkeep.db-journal", "pourkeep.db-wal", "pourkeep.db"])
def test_a_backup_has_no_name_of_the_stores_own_files(
    folder: Path, tmp_path: Path, name: str
) -> None:
    (tmp_path / "elsewhere").mkdir()
    with pytest.raises(BackupError, match="a store's own files have such names"):
        back_up(folder, tmp_path / "elsewhere" / name)


def test_a_folder_that_is_not_there_is_said(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(BackupError, match="there is no folder"):
        back_up(folder, tmp_path / "usb" / "f.db")


def test_a_folder_without_a_store_gives_no_backup(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"there is no pourkeep\.db here"):
        back_up(tmp_path, tmp_path / "f.db")
    assert names(tmp_path) == []


def test_the_command_says_size_events_and_the_last_event(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert pourkeep("backup", "--data", folder, "--to", tmp_path / "f.db") == 0
    said = capsys.readouterr().out
    assert re.search(r"f\.db: 0\.1 MB, 6 events, the last of 2026-11-25 09:46:49 UTC\.\n", said)
