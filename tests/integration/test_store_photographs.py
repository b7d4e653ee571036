"""The bytes of photographs in the store: kept, checked, copied, and gone when they should be."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest
import pytest_asyncio
from made_pictures import heavy_png, png
from store_samples import LOT, START_US, lot_closed, lot_opened, scale_readings

from collector.errors import NotFoundError, StoreError
from collector.note_events import NoteWritten, PhotographKept, PhotographTakenBack
from collector.retention import Retention
from collector.store import History, Store
from collector.store.backup import back_up
from collector.store.database import APPLICATION_ID, FILE_NAME
from collector.store.faults import Fault
from collector.store.migrations import MIGRATIONS, migrate
from collector.store.pictures import digest_of, picture_bytes
from collector.store.rebuild import rebuild
from collector.store.restore import restore
from collector.store.verify import verify

FACE = b"no bytes of this may be left"
BODY = png() + FACE * 400


def kept(name: str = "p1", body: bytes = BODY, lot: str = LOT) -> PhotographKept:
    return PhotographKept(
        at_us=START_US + 1,
        bench="mole",
        lot=lot,
        photograph=name,
        digest=digest_of(body),
        media_type="image/png",
        size=len(body),
        width=40,
        height=30,
    )


def taken_back(name: str = "p1", body: bytes = BODY) -> PhotographTakenBack:
    return PhotographTakenBack(
        at_us=START_US + 2,
        bench="mole",
        lot=LOT,
        photograph=name,
        digest=digest_of(body),
        reason="a face",
    )


async def keep(store: Store, name: str = "p1", body: bytes = BODY) -> None:
    assert await store.lay_down(body) == digest_of(body)
    await store.commit([], [kept(name, body)])


@pytest_asyncio.fixture
async def folder(tmp_path: Path) -> Path:
    """A store with a lot and a photograph of it."""
    folder = tmp_path / "data"
    store = Store.open(folder)
    await store.commit(scale_readings(), [lot_opened()])
    await keep(store)
    await store.commit([], [lot_closed()])
    store.close()
    return folder


def tamper(folder: Path, statement: str, values: Sequence[object] = ()) -> None:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection, connection:
        assert connection.execute(statement, tuple(values)).rowcount > 0


def count(folder: Path, table: str) -> int:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        return int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0])  # noqa: S608 - ours


def holding(folder: Path, words: bytes) -> list[str]:
    """Return the files of a folder in which some bytes stand."""
    return [path.name for path in folder.iterdir() if words in path.read_bytes()]


def size_of(folder: Path) -> int:
    return (folder / FILE_NAME).stat().st_size


def test_a_photograph_is_there_and_the_store_sound(folder: Path) -> None:
    assert History(folder).picture(LOT, "p1") == BODY
    assert verify(folder) == []
    assert count(folder, "picture_arriving") == 0


def test_a_flipped_byte_is_found_and_named_with_its_lot(folder: Path) -> None:
    flipped = bytearray(BODY)
    flipped[len(BODY) // 2] ^= 1
    tamper(folder, "UPDATE picture SET body = ?", [bytes(flipped)])
    (fault,) = verify(folder)
    assert fault.place == f"photograph p1 of lot {LOT}"
    assert "Its bytes were changed after it was kept" in fault.sentence


def test_missing_bytes_are_found(folder: Path) -> None:
    tamper(folder, "DELETE FROM picture")
    (fault,) = verify(folder)
    assert fault.place == f"photograph p1 of lot {LOT}"
    assert "missing" in fault.sentence


def test_bytes_that_no_lot_shows_are_found(folder: Path) -> None:
    stray = png(shade=1)
    tamper(folder, "INSERT INTO picture VALUES (?, ?)", [digest_of(stray), stray])
    place = f"picture {digest_of(stray)[:12]}"
    assert verify(folder) == [Fault(place, "Its bytes are stored, but no lot shows them.")]


def test_a_backup_carries_the_bytes_and_a_restored_folder_shows_them(
    folder: Path, tmp_path: Path
) -> None:
    facts = back_up(folder, tmp_path / "monday.pourkeep")
    assert facts.faults == ()
    restore(tmp_path / "monday.pourkeep", tmp_path / "new")
    assert History(tmp_path / "new").picture(LOT, "p1") == BODY
    assert verify(tmp_path / "new") == []


def test_a_rebuild_makes_the_table_of_photographs_and_leaves_the_bytes(folder: Path) -> None:
    tamper(folder, "DELETE FROM photograph")
    assert verify(folder)[0].place.startswith("photograph of lot")
    done = {table.table: table for table in rebuild(folder)}
    assert (done["photograph"].rows, done["photograph"].missing) == (1, 1)
    assert History(folder).picture(LOT, "p1") == BODY
    assert verify(folder) == []


def test_opening_a_store_whose_table_was_lost_costs_no_bytes(folder: Path) -> None:
    tamper(folder, "DELETE FROM photograph")
    Store.open(folder).close()
    rebuild(folder)
    assert History(folder).picture(LOT, "p1") == BODY


@pytest.mark.asyncio
async def test_bytes_taken_back_are_nowhere_in_the_files_any_more(folder: Path) -> None:
    assert FACE in (folder / FILE_NAME).read_bytes()
    store = Store.open(folder)
    await store.commit([], [taken_back()])
    with pytest.raises(NotFoundError):
        History(folder).picture(LOT, "p1")
    store.close()
    assert holding(folder, FACE) == []
    assert verify(folder) == []


@pytest.mark.asyncio
async def test_bytes_that_no_event_told_of_are_gone_at_the_next_opening(folder: Path) -> None:
    store = Store.open(folder)
    await store.lay_down(png(shade=7))
    assert verify(folder) == []  # as a cut would leave it
    store.close()
    Store.open(folder).close()
    assert (count(folder, "picture"), count(folder, "picture_arriving")) == (1, 0)
    assert History(folder).picture(LOT, "p1") == BODY


@pytest.mark.asyncio
async def test_a_picture_that_is_shown_already_survives_another_that_was_never_told(
    folder: Path,
) -> None:
    store = Store.open(folder)
    await store.lay_down(BODY)
    store.close()
    Store.open(folder).close()
    assert History(folder).picture(LOT, "p1") == BODY
    assert verify(folder) == []


@pytest.mark.asyncio
async def test_a_picture_that_is_about_to_be_told_survives_that_another_is_taken_back(
    folder: Path,
) -> None:
    store = Store.open(folder)
    await store.lay_down(BODY)
    await store.commit([], [taken_back()])
    await store.commit([], [kept("p2")])
    store.close()
    assert History(folder).picture(LOT, "p2") == BODY
    assert verify(folder) == []


@pytest.mark.asyncio
async def test_a_full_disk_keeps_nothing_of_a_photograph(folder: Path) -> None:
    store = Store.open(folder)
    store._thread.submit(store._ledger.connection.execute, "PRAGMA max_page_count = 1").result()
    with pytest.raises(StoreError, match=r"the disk is full .* Free some space"):
        await store.lay_down(heavy_png(2_000_000))
    note = NoteWritten(at_us=START_US + 9, bench="mole", lot=LOT, note="n1", text="no room")
    await store.commit([], [note])
    store.close()
    assert (count(folder, "picture"), count(folder, "picture_arriving")) == (1, 0)
    assert verify(folder) == []


@pytest.mark.asyncio
async def test_no_reading_goes_to_make_room_for_photographs(tmp_path: Path) -> None:
    readings = scale_readings(count=5_000)
    store = Store.open(tmp_path, retention=Retention(most_bytes=2_000_000))
    await store.commit(readings, [lot_opened()])
    await store.commit([], [lot_closed(at_us=readings[-1].taken_us)])
    for shade in range(3):
        await keep(store, f"p{shade}", png(shade=shade) + bytes(1_500_000))
    now_us = START_US + 400 * 86_400_000_000
    while await store.maintain(now_us):
        pass
    store.close()
    assert size_of(tmp_path) > 4_500_000
    spans = History(tmp_path).readings(readings[0].channel, 0, now_us)
    assert spans.times.size == len(readings)
    assert [History(tmp_path).picture(LOT, f"p{n}")[:8] for n in range(3)] == [png()[:8]] * 3


def test_the_pages_of_photographs_are_told_to_within_some_percent() -> None:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        migrate(connection, APPLICATION_ID)
        before = connection.execute("PRAGMA page_count").fetchone()[0]
        for number in range(40):
            body = png(shade=number) + bytes(37_000 + 997 * number)
            row = {"lot": LOT, "photograph": f"p{number}"}
            connection.execute("INSERT INTO picture VALUES (?, ?)", (digest_of(body), body))
            connection.execute(
                "INSERT INTO photograph VALUES (:lot, :photograph, :digest, :size)",
                {**row, "digest": digest_of(body), "size": len(body)},
            )
        used = (connection.execute("PRAGMA page_count").fetchone()[0] - before) * 4096
        assert picture_bytes(connection) == pytest.approx(used, rel=0.05)


@pytest.mark.asyncio
async def test_a_folder_from_before_photographs_is_opened_and_takes_them(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / FILE_NAME, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = WAL").fetchall()
        migrate(connection, APPLICATION_ID, MIGRATIONS[:4])
    store = Store.open(tmp_path)
    await store.commit([], [lot_opened()])
    await keep(store)
    store.close()
    assert History(tmp_path).picture(LOT, "p1") == BODY
    assert verify(tmp_path) == []
