import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest
import pytest_asyncio
from store_samples import (
    LOT,
    RECIPE,
    SCALE,
    START_US,
    alarm_raised,
    lot_closed,
    lot_opened,
    recipe_kept,
    scale_readings,
    weighing,
)

from collector.errors import StoreError
from collector.events import AnyEvent, encode
from collector.readings import Reading
from collector.store import Store
from collector.store.chain import link
from collector.store.faults import Fault
from collector.store.verify import verify

LAST = 6


@pytest_asyncio.fixture
async def folder(tmp_path: Path) -> Path:
    readings = scale_readings()
    later = scale_readings(START_US + 60_000)
    events: list[AnyEvent] = [recipe_kept(), lot_opened(), weighing(readings), weighing(later)]
    events += [alarm_raised("a"), lot_closed()]
    await write(tmp_path, readings + later, events)
    return tmp_path


async def write(folder: Path, readings: Sequence[Reading], events: Sequence[AnyEvent]) -> None:
    store = Store.open(folder)
    await store.commit(readings, events)
    store.close()


def tamper(folder: Path, statement: str, values: Sequence[object] = ()) -> None:
    """Change the file as someone would who knows how to get past the triggers."""
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection, connection:
        triggers = connection.execute(
            "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        assert connection.execute(statement, tuple(values)).rowcount > 0
        for _, sql in triggers:
            connection.execute(sql)


def only(faults: list[Fault]) -> Fault:
    (fault,) = faults
    return fault


def test_a_sound_folder_has_no_faults(folder: Path) -> None:
    assert verify(folder) == []


@pytest.mark.parametrize("seq", range(1, LAST + 1))
def test_a_changed_body_is_named_by_its_number(folder: Path, seq: int) -> None:
    tamper(folder, "UPDATE event SET body = CAST(body || ' ' AS BLOB) WHERE seq = ?", [seq])
    fault = only(verify(folder))
    assert fault.seq == seq
    assert "changed after it was written" in fault.sentence


def test_another_value_in_a_body_is_named_by_its_number(folder: Path) -> None:
    changed = "CAST(replace(body, '180002', '180102') AS BLOB)"
    tamper(folder, f"UPDATE event SET body = {changed} WHERE seq = 3")  # noqa: S608 - a constant
    assert verify(folder)[0].seq == 3


@pytest.mark.parametrize("seq", range(1, LAST + 1))
def test_a_deleted_event_is_named_by_its_number(folder: Path, seq: int) -> None:
    tamper(folder, "DELETE FROM event WHERE seq = ?", [seq])
    first = verify(folder)[0]
    assert (first.place, first.seq) == (f"event {seq}", seq)
    assert first.sentence == "It is missing from the journal."


def test_several_deleted_events_are_named_together(folder: Path) -> None:
    tamper(folder, "DELETE FROM event WHERE seq IN (3, 4)")
    assert verify(folder) == [Fault("event 3", "Events 3 to 4 are missing from the journal.", 3)]


@pytest.mark.asyncio
async def test_deleted_events_at_the_end_are_still_missing_after_the_next_commit(
    folder: Path,
) -> None:
    tamper(folder, "DELETE FROM event WHERE seq >= 5")
    await write(folder, [], [alarm_raised("b", None)])
    assert verify(folder)[0] == Fault("event 5", "Events 5 to 6 are missing from the journal.", 5)


def test_a_chain_made_to_fit_a_changed_body_breaks_at_the_next_event(folder: Path) -> None:
    body = encode(weighing(scale_readings())).replace(b"180002", b"180102")
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection:
        (chain,) = connection.execute("SELECT chain FROM event WHERE seq = 2").fetchone()
    values = [body, link(chain, body)]
    tamper(folder, "UPDATE event SET body = ?, chain = ? WHERE seq = 3", values)
    assert only(verify(folder)).seq == 4


def test_a_tip_that_disagrees_with_the_journal_is_told(folder: Path) -> None:
    tamper(folder, "UPDATE tip SET chain = zeroblob(32)")
    assert only(verify(folder)).place == "table tip"


@pytest.mark.parametrize(
    ("column", "value"), [("at_us", 5), ("bench", "pier"), ("lot", None), ("kind", "lot-closed")]
)
def test_a_changed_column_is_named_with_its_event(
    folder: Path, column: str, value: str | int | None
) -> None:
    tamper(folder, f"UPDATE event SET {column} = ? WHERE seq = 5", [value])  # noqa: S608 - listed above
    fault = only(verify(folder))
    assert fault.seq == 5
    assert fault.sentence == f"Its text and its columns disagree in {column}."


@pytest.mark.parametrize("body", [b"", b"{", b'{"type": "sneeze"}', b"\xff\xfe", b"[]"])
def test_a_body_that_is_no_event_is_named_and_the_rest_still_checked(
    folder: Path, body: bytes
) -> None:
    tamper(folder, "UPDATE event SET body = ? WHERE seq = 4", [body])
    broken, unread = verify(folder)
    assert (broken.seq, unread.seq) == (4, 4)
    assert "is not an event" in unread.sentence


@pytest.mark.parametrize(
    ("statement", "place", "sentence"),
    [
        ("UPDATE lot SET closed_us = NULL", f"lot {LOT}", "Its table says"),
        ("DELETE FROM lot", f"lot {LOT}", "missing from its table"),
        ("UPDATE recipe SET document = '{}'", f"recipe {RECIPE.name}", "Its table says"),
        ("DELETE FROM alarm_event", "event of alarm a 5", "missing from its table"),
        (
            "INSERT INTO alarm_event VALUES ('x', 5)",
            "event of alarm x 5",
            "the journal does not tell of it",
        ),
    ],
)
def test_a_projection_that_does_not_follow_from_the_journal_is_named(
    folder: Path, statement: str, place: str, sentence: str
) -> None:
    tamper(folder, statement)
    fault = only(verify(folder))
    assert (fault.place, fault.seq) == (place, None)
    assert sentence in fault.sentence


def test_a_reading_that_is_gone_is_missed_by_the_weighing_that_rests_on_it(folder: Path) -> None:
    tamper(folder, "DELETE FROM reading WHERE taken_us = ?", [START_US + 62_000])
    fault = only(verify(folder))
    assert fault.seq == 4
    assert fault.sentence == (
        f"Its weighing rests on 5 readings of {SCALE}, but 4 are stored in that span."
    )


def test_a_reading_slipped_in_is_noticed_by_the_weighing_around_it(folder: Path) -> None:
    tamper(folder, "INSERT INTO reading VALUES (1, ?, 7, 0)", [START_US + 500])
    fault = only(verify(folder))
    assert fault.seq == 3
    assert "but 6 are stored" in fault.sentence


@pytest.mark.asyncio
async def test_a_conclusion_about_a_lot_that_never_opened_is_named(folder: Path) -> None:
    await write(folder, [], [alarm_raised("b", "2026-11-25-7")])
    fault = only(verify(folder))
    assert fault.seq == LAST + 1
    assert "lot 2026-11-25-7, which was not open yet" in fault.sentence


@pytest.mark.asyncio
async def test_a_conclusion_from_before_its_lot_is_named(folder: Path) -> None:
    await write(folder, [], [alarm_raised("b", LOT, START_US - 1_500_000)])
    fault = only(verify(folder))
    assert fault.seq == LAST + 1
    assert fault.sentence == f"Its time is 1.500000 s before its lot {LOT} was opened."


@pytest.mark.asyncio
async def test_what_a_person_said_before_the_lot_opened_is_no_fault(folder: Path) -> None:
    await write(folder, [], [lot_closed("2026-11-25-8"), alarm_raised("b", None, 1)])
    assert verify(folder) == []


def test_a_lot_opened_twice_in_the_journal_is_named(folder: Path) -> None:
    row = "6, at_us, bench, lot, kind, body, chain"
    tamper(folder, "DELETE FROM event WHERE seq = 6")
    tamper(folder, f"INSERT INTO event SELECT {row} FROM event WHERE seq = 2")  # noqa: S608 - a constant
    assert any("contradicts the events before it" in fault.sentence for fault in verify(folder))


def test_a_dropped_trigger_is_missed(folder: Path) -> None:
    with closing(sqlite3.connect(folder / "pourkeep.db")) as connection:
        connection.execute("DROP TRIGGER event_is_never_deleted")
        connection.execute("CREATE TABLE theirs (x)")
    missing, foreign = verify(folder)
    assert missing.place == "event_is_never_deleted"
    assert "is missing" in missing.sentence
    assert (foreign.place, foreign.sentence.endswith("is not ours.")) == ("theirs", True)


def test_readings_of_no_channel_are_told(folder: Path) -> None:
    tamper(folder, "INSERT INTO reading VALUES (99, 1, 1, 0)")
    assert only(verify(folder)) == Fault("table reading", "1 readings belong to no channel.")


@pytest.mark.asyncio
async def test_a_damaged_page_is_a_fault_and_not_a_crash(folder: Path) -> None:
    await write(folder, [Reading(SCALE, n, n) for n in range(20_000)], [])
    file = folder / "pourkeep.db"
    content = bytearray(file.read_bytes())
    middle = len(content) // 2 // 4096 * 4096
    content[middle : middle + 4096] = b"\xa5" * 4096
    file.write_bytes(content)
    faults = verify(folder)
    assert any(fault.place == "pourkeep.db" for fault in faults)


def test_a_folder_without_a_store_cannot_be_verified(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"there is no pourkeep\.db here"):
        verify(tmp_path)
