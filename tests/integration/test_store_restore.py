import sqlite3
from pathlib import Path

import pytest
from store_at_hand import LAST, dump, lay, pourkeep, tamper
from store_samples import LOT, alarm_raised

from collector.errors import BackupError, StoreError
from collector.store import History, Store, backup_file
from collector.store import restore as restoring
from collector.store.backup import back_up
from collector.store.folder_lock import FolderLock
from collector.store.migrations import MIGRATIONS, Migration, migrate
from collector.store.restore import restore
from collector.store.verify import verify


@pytest.fixture
def backup(tmp_path: Path) -> Path:
    back_up(lay(tmp_path / "old"), tmp_path / "f.db")
    return tmp_path / "f.db"


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.asyncio
async def test_a_service_goes_on_where_the_backup_ends(backup: Path, tmp_path: Path) -> None:
    new = tmp_path / "new" / "data"
    assert restore(backup, new).events == LAST
    assert names(new) == ["pourkeep.db", "pourkeep.lock"]
    assert dump(new / "pourkeep.db") == dump(backup)
    assert verify(new) == []
    store = Store.open(new)
    assert await store.commit([], [alarm_raised("b")]) == [LAST + 1]
    store.close()
    assert History(new).lots()[0].id == LOT
    assert verify(new) == []


@pytest.mark.parametrize("name", ["", "-wal", "-shm", "-journal"])
def test_a_folder_that_holds_a_store_or_a_part_of_one_stays_as_it_is(
    backup: Path, tmp_path: Path, name: str
) -> None:
    (tmp_path / "new").mkdir()
    (tmp_path / "new" / f"pourkeep.db{name}").write_text("mine")
    with pytest.raises(BackupError, match=f"there is a pourkeep.db{name} here already"):
        restore(backup, tmp_path / "new")
    assert names(tmp_path / "new") == [f"pourkeep.db{name}"]
    assert (tmp_path / "new" / f"pourkeep.db{name}").read_text() == "mine"


def test_a_folder_that_a_service_is_starting_in_is_refused(backup: Path, tmp_path: Path) -> None:
    (tmp_path / "new").mkdir()
    lock = FolderLock(tmp_path / "new")
    with pytest.raises(StoreError, match=r"another service is using .* \(process \d+\)"):
        restore(backup, tmp_path / "new")
    lock.release()
    assert names(tmp_path / "new") == ["pourkeep.lock"]


def refusal(source: Path, new: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """Return what the command says, after a look that it made nothing."""
    assert pourkeep("restore", "--from", source, "--data", new) == 1
    assert not new.exists()
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("pourkeep: ")
    return str(err)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
def test_a_backup_cut_short_is_refused(
    backup: Path, tmp_path: Path, share: float, capsys: pytest.CaptureFixture[str]
) -> None:
    content = backup.read_bytes()
    backup.write_bytes(content[: int(len(content) * share)])
    said = refusal(backup, tmp_path / "new", capsys)
    assert "damaged" in said or "cannot be read" in said


def test_a_backup_with_a_bad_page_is_refused(
    backup: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    content = bytearray(backup.read_bytes())
    for page in range(1, len(content) // 4096):
        bad = content.copy()
        bad[page * 4096 : (page + 1) * 4096] = bytes(i * 7 % 256 for i in range(4096))
        backup.write_bytes(bad)
        assert "damaged" in refusal(backup, tmp_path / "new", capsys)


def test_a_backup_whose_journal_was_changed_is_refused_with_the_event(
    backup: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(backup, "UPDATE event SET body = CAST(body || ' ' AS BLOB) WHERE seq = 4")
    assert "its journal breaks at event 4 of 6" in refusal(backup, tmp_path / "new", capsys)


@pytest.mark.parametrize("content", [b"", b"wicks, tins, labels\n" * 300])
def test_a_file_that_is_no_backup_is_refused(
    tmp_path: Path, content: bytes, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "f.db").write_bytes(content)
    said = refusal(tmp_path / "f.db", tmp_path / "new", capsys)
    assert "this file is no backup of pourkeep" in said or "this is no backup of pourkeep" in said


def test_a_file_that_is_not_there_and_a_folder_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "there is no file" in refusal(tmp_path / "f.db", tmp_path / "new", capsys)
    assert "this is a folder" in refusal(tmp_path, tmp_path / "new", capsys)


def test_the_file_of_a_running_store_is_refused_for_its_log(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = Store.open(lay(tmp_path / "old"))
    said = refusal(tmp_path / "old" / "pourkeep.db", tmp_path / "new", capsys)
    assert f"pourkeep backup --data {tmp_path / 'old'} makes one of it" in said
    store.close()


def test_the_file_of_a_stopped_store_will_do(tmp_path: Path) -> None:
    lay(tmp_path / "old")
    assert restore(tmp_path / "old" / "pourkeep.db", tmp_path / "new").events == LAST
    assert verify(tmp_path / "new") == []


def test_a_backup_from_a_newer_version_is_refused(
    backup: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(backup, "PRAGMA user_version = 99")
    assert "from a newer version of pourkeep" in refusal(backup, tmp_path / "new", capsys)


def test_a_backup_from_an_earlier_version_is_brought_up_to_date(
    backup: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    newer = len(MIGRATIONS) + 1
    more = (*MIGRATIONS, Migration(newer, "more", "CREATE TABLE more (x);"))

    def migrate_further(connection: sqlite3.Connection, application_id: int) -> None:
        migrate(connection, application_id, more)

    for module in (backup_file, restoring):
        monkeypatch.setattr(module, "SCHEMA_VERSION", newer)
    monkeypatch.setattr(restoring, "migrate", migrate_further)
    assert restore(backup, tmp_path / "new").version == newer
    assert any("CREATE TABLE more" in line for line in dump(tmp_path / "new" / "pourkeep.db"))
