import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from collector.errors import StoreError
from collector.store import History, Store

HOLDER = """
import sys, pathlib
from collector.store import Store
store = Store.open(pathlib.Path(sys.argv[1]))
print("open", flush=True)
sys.stdin.read()
store.close()
"""


def test_a_second_store_on_one_folder_is_refused_by_name_of_the_process(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    with pytest.raises(StoreError, match=rf"process {os.getpid()}\)\. Stop that one"):
        Store.open(tmp_path)
    store.close()
    Store.open(tmp_path).close()


def test_a_store_of_another_process_is_refused_until_that_ends(tmp_path: Path) -> None:
    command = [sys.executable, "-c", HOLDER, str(tmp_path)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "open\n"
        with pytest.raises(StoreError, match=rf"process {holder.pid}\)"):
            Store.open(tmp_path)
        assert History(tmp_path).lots() == []
        holder.communicate("")
    assert holder.returncode == 0
    Store.open(tmp_path).close()


def set_pragma(folder: Path, pragma: str) -> None:
    connection = sqlite3.connect(folder / "pourkeep.db")
    connection.execute(pragma)
    connection.close()


def test_a_store_from_a_newer_version_is_refused_untouched(tmp_path: Path) -> None:
    Store.open(tmp_path).close()
    set_pragma(tmp_path, "PRAGMA user_version = 99")
    before = (tmp_path / "pourkeep.db").read_bytes()
    for use in (Store.open, lambda folder: History(folder).lots()):
        with pytest.raises(StoreError, match=r"from a newer version of pourkeep \(schema 99"):
            use(tmp_path)
    assert (tmp_path / "pourkeep.db").read_bytes() == before


def test_a_store_from_an_earlier_version_is_not_read_before_it_is_brought_up_to_date(
    tmp_path: Path,
) -> None:
    Store.open(tmp_path).close()
    set_pragma(tmp_path, "PRAGMA user_version = 0")
    with pytest.raises(StoreError, match="from an earlier version"):
        History(tmp_path).lots()


def test_the_database_of_another_program_is_refused_untouched(tmp_path: Path) -> None:
    set_pragma(tmp_path, "CREATE TABLE theirs (x)")
    before = (tmp_path / "pourkeep.db").read_bytes()
    for use in (Store.open, lambda folder: History(folder).lots()):
        with pytest.raises(StoreError, match="the database of another program"):
            use(tmp_path)
    assert (tmp_path / "pourkeep.db").read_bytes() == before


def test_a_file_that_is_no_database_is_refused_untouched(tmp_path: Path) -> None:
    (tmp_path / "pourkeep.db").write_text("shopping list: wicks, tins, labels\n" * 40)
    for use in (Store.open, lambda folder: History(folder).lots()):
        with pytest.raises(StoreError, match="is not a database"):
            use(tmp_path)
    assert (tmp_path / "pourkeep.db").read_text().startswith("shopping list")


def test_a_refused_folder_is_free_again(tmp_path: Path) -> None:
    set_pragma(tmp_path, "CREATE TABLE theirs (x)")
    with pytest.raises(StoreError, match="another program"):
        Store.open(tmp_path)
    (tmp_path / "pourkeep.db").unlink()
    Store.open(tmp_path).close()


def test_an_empty_file_left_by_a_crash_at_birth_becomes_a_store(tmp_path: Path) -> None:
    (tmp_path / "pourkeep.db").touch()
    Store.open(tmp_path).close()
    assert History(tmp_path).last_seq() == 0


def test_a_folder_that_cannot_be_made_is_said_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(StoreError, match="cannot be made"):
        Store.open(tmp_path / "file" / "data")


def test_a_folder_that_cannot_be_written_is_said_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "pourkeep.lock").mkdir()
    with pytest.raises(StoreError, match=r"pourkeep\.lock cannot be written here \(Is a directory"):
        Store.open(tmp_path)
