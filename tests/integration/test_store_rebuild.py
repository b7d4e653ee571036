import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from store_at_hand import LAST, dump, lay, pourkeep, tamper
from store_samples import LOT, RECIPE, lot_opened

from collector.errors import StoreError
from collector.store import History, Store
from collector.store.ledger import Ledger
from collector.store.rebuild import JournalBrokenError, TableRebuilt, rebuild
from collector.store.verify import verify


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return lay(tmp_path / "data")


def of(tables: list[TableRebuilt], name: str) -> TableRebuilt:
    return next(table for table in tables if table.table == name)


def test_a_sound_store_is_as_it_was(folder: Path) -> None:
    before = dump(folder / "pourkeep.db")
    assert all(table.agreed for table in rebuild(folder))
    assert sorted(dump(folder / "pourkeep.db")) == sorted(before)
    assert verify(folder) == []


def test_missing_foreign_and_different_rows_are_counted_and_put_right(folder: Path) -> None:
    file = folder / "pourkeep.db"
    tamper(file, "DELETE FROM alarm_event")
    tamper(file, "INSERT INTO alarm_event VALUES ('x', 5), ('y', 5)")
    tamper(file, "UPDATE lot SET vessels = 99")
    tables = rebuild(folder)
    assert of(tables, "alarm_event") == TableRebuilt("alarm_event", 1, missing=1, foreign=2)
    assert of(tables, "lot") == TableRebuilt("lot", 1, different=1)
    assert of(tables, "recipe").agreed
    assert verify(folder) == []
    assert History(folder).lot(LOT).vessels == 6


@pytest.mark.parametrize(
    "statement",
    [
        "DROP TABLE lot",
        "DROP INDEX lot_by_opening",
        "CREATE INDEX theirs ON recipe (updated_us)",
        "ALTER TABLE recipe RENAME COLUMN document TO paper",
    ],
)
def test_a_table_that_is_gone_or_altered_is_made_as_it_was(folder: Path, statement: str) -> None:
    tamper(folder / "pourkeep.db", statement)
    assert verify(folder) != []
    rebuild(folder)
    assert verify(folder) == []
    assert History(folder).recipe(RECIPE.name).recipe == RECIPE


def test_a_damaged_index_of_a_projection_is_made_afresh(folder: Path) -> None:
    file = folder / "pourkeep.db"
    with closing(sqlite3.connect(file)) as connection:
        (root,) = connection.execute(
            "SELECT rootpage FROM sqlite_schema WHERE name = 'lot_by_opening'"
        ).fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
        connection.execute("PRAGMA journal_mode = DELETE").fetchall()
    content = bytearray(file.read_bytes())
    empty_index_page = b"\x0a\x00\x00\x00\x00\x10\x00\x00"  # sqlite.org/fileformat2.html, 1.6
    content[(root - 1) * size : (root - 1) * size + 8] = empty_index_page
    file.write_bytes(content)
    assert verify(folder) != []
    rebuild(folder)
    assert verify(folder) == []


def test_a_file_that_is_damaged_elsewhere_is_left_as_it_is(tmp_path: Path) -> None:
    folder = lay(tmp_path / "data", readings=5_000)
    file = folder / "pourkeep.db"
    tamper(file, "DELETE FROM alarm_event")
    content = bytearray(file.read_bytes())
    content[-4096:] = b"\xa5" * 4096  # the last page is one of readings
    file.write_bytes(content)
    with pytest.raises(StoreError, match="damaged"):
        rebuild(folder)
    assert file.read_bytes() == content


@pytest.mark.parametrize("seq", [1, 3, LAST])
def test_a_broken_journal_is_refused_and_nothing_changes(folder: Path, seq: int) -> None:
    file = folder / "pourkeep.db"
    tamper(file, "UPDATE event SET body = CAST(body || ' ' AS BLOB) WHERE seq = ?", [seq])
    tamper(file, "UPDATE lot SET vessels = 99")
    before = file.read_bytes()
    with pytest.raises(JournalBrokenError, match="changed after it was written") as refused:
        rebuild(folder)
    assert refused.value.found.seq == seq
    assert file.read_bytes() == before
    Store.open(folder).close()  # and the lock is free again


def test_events_that_contradict_each_other_change_nothing(folder: Path) -> None:
    ledger = Ledger(folder)
    ledger.connection.execute("DELETE FROM lot")
    ledger.commit([], [lot_opened()])  # a second opening of the lot, rightly chained
    ledger.close()
    tamper(folder / "pourkeep.db", "UPDATE lot SET vessels = 99")
    with pytest.raises(StoreError, match=rf"event {LAST + 1} contradicts the events before it"):
        rebuild(folder)
    assert History(folder).lot(LOT).vessels == 99


def test_a_folder_in_use_is_refused_by_the_number_of_the_process(folder: Path) -> None:
    store = Store.open(folder)
    with pytest.raises(StoreError, match=r"another service is using .* \(process \d+\)"):
        rebuild(folder)
    store.close()


def test_a_folder_without_a_store_stays_empty(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert pourkeep("rebuild", "--data", tmp_path) == 1
    assert "there is no pourkeep.db here" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_the_command_says_what_it_changed(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tamper(folder / "pourkeep.db", "DELETE FROM alarm_event")
    assert pourkeep("rebuild", "--data", folder) == 0
    said = capsys.readouterr().out
    assert "alarm_event  1 row: 1 missing before" in said
    assert "lot          1 row: nothing changed" in said
    assert pourkeep("rebuild", "--data", folder) == 0
    assert "all of it agreed with the journal already" in capsys.readouterr().out


def test_the_command_names_the_first_broken_link(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(folder / "pourkeep.db", "DELETE FROM event WHERE seq IN (3, 5)")
    assert pourkeep("rebuild", "--data", folder) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "nothing was rebuilt" in said.err
    assert "The chain breaks at event 3 of 6" in said.err
